using System.Collections.Immutable;
using System.Globalization;
using PoeWatch.Domain.Poe;
using PoeWatch.Domain.Readings;

namespace PoeWatch.DesignFiles.Drafts;

/// <summary>What a port's device is taken for.</summary>
/// <param name="DemandW">At its input.</param>
/// <param name="IsReduced">True where less than the class was written, because the classes together exceed the group's budget.</param>
/// <param name="Remark">What it rests on.</param>
internal sealed record DemandOfPort(PsePortRef Port, PoeClass PoeClass, double DemandW, bool IsReduced, string Remark);

/// <summary>Class and demand of what hangs at the ports of one group. Pure.</summary>
internal static class DemandGuess
{
    // A draft that takes the whole budget could not be told from one that is in trouble.
    private const double ShareOfBudget = 0.9;
    private const double DemandMinW = 0.5;

    /// <param name="ports">Ports of one group that deliver.</param>
    /// <param name="budgetW">Null where the agent does not say.</param>
    public static ImmutableArray<DemandOfPort> Of(IReadOnlyCollection<PortReading> ports, double? budgetW)
    {
        var found = ports.Select(port => (Port: port, Class: ClassOf(port))).ToArray();
        var atPse = found.Sum(f => PoeTables.ClassBoundAtPse(f.Class).Watts);
        if (budgetW is not { } budget || atPse <= budget * ShareOfBudget)
        {
            return [.. found.Select(f => new DemandOfPort(f.Port.Port, f.Class, AtPd(f.Class), false, Words(f.Port, f.Class)))];
        }

        // Shared out by what each draws now, and never more than the class.
        var weights = found.Select(f => f.Port.Draw is { Watts: > 0 } draw ? draw.Watts : PoeTables.ClassBoundAtPse(f.Class).Watts / 2).ToArray();
        var share = budget * ShareOfBudget / weights.Sum();
        return
        [
            .. found.Select((f, i) =>
            {
                var loss = PoeTables.ClassBoundAtPse(f.Class).Watts / AtPd(f.Class);
                var demandW = Math.Clamp(Math.Floor(10 * weights[i] * share / loss) / 10, DemandMinW, AtPd(f.Class));
                return new DemandOfPort(f.Port.Port, f.Class, demandW, true, Words(f.Port, f.Class));
            }),
        ];
    }

    // RFC 3621 ends at class 4, so a port that draws more than its class gives shows no more than that it is a better one.
    private static PoeClass ClassOf(PortReading port)
    {
        PoeClass said = port.AssignedClass ?? PoeClass.Class0;
        return port.Draw is { } draw && draw > PoeTables.ClassBoundAtPse(said)
            ? Enumerable.Range((int)PoeClass.Class4, 5).Select(c => (PoeClass)c).FirstOrDefault(c => PoeTables.ClassBoundAtPse(c) >= draw, PoeClass.Class8)
            : said;
    }

    private static double AtPd(PoeClass poeClass) => PoeTables.LimitsOf(poeClass, PoeTables.PdTypeOf(poeClass)).PdMaximumInput.Watts;

    private static string Words(PortReading port, PoeClass taken)
    {
        var drew = port.Draw is { } draw ? string.Create(CultureInfo.InvariantCulture, $"drew {draw.Watts:0.0} W when asked ({port.Provenance.Name()})") : "no draw known";
        return port.AssignedClass switch
        {
            null => $"guess: class {(int)taken}, the port does not say one; {drew}",
            { } said when said != taken => $"guess: class {(int)taken} from its draw, the port says class {(int)said}; {drew}",
            { } said => $"class {(int)said} of the port; {drew}",
        };
    }
}
