using System.Globalization;
using PoeWatch.Domain.Poe;
using PoeWatch.Domain.PowerFlow;
using PoeWatch.Domain.Quantities;

namespace PoeWatch.Domain.Design.Validation;

/// <summary>
/// Holds the class that each device asks for against what its output grants. A device that is granted a lower class has to stay within it,
/// whatever the cable would carry.
/// </summary>
internal static class ClassGrants
{
    /// <summary>The highest class that the output in front of a place grants.</summary>
    public static PoeClass GrantedTo(DesignParts parts, CableRun run, FlowNode place)
    {
        if (ReferenceEquals(place, run.Root))
        {
            return Designed(parts, run.Source) ?? PortDefaults.Grantable(run.Source.Limit, run.Source.Type);
        }

        var from = place.Incoming.From.ElementId;
        var limit = parts.Extenders.TryGetValue(from, out var extender) ? extender.OutputLimit : parts.PassThroughSwitches[from].OutputLimit;
        return PortDefaults.Grantable(limit, PoeTables.TypeForOutput(limit));
    }

    /// <summary>Devices that need more than the class they are granted lets them have.</summary>
    public static IEnumerable<LimitMargin> Shortfalls(DesignParts parts, CableRun run, IReadOnlyDictionary<string, Power> demands)
    {
        foreach (var place in run.Root.SelfAndBelow().Where(p => p.DeviceType is not null))
        {
            var granted = GrantedTo(parts, run, place);
            var row = PoeTables.LimitsOf(granted, PoeClause.Clause145);
            var demand = demands[place.ElementId];
            if (demand > row.PdMaximumInput)
            {
                yield return new LimitMargin(
                    LimitKind.GrantableClass, FeedOf(run, place), row.PdMaximumInput.Watts, demand.Watts, "W", row.Source)
                {
                    IsBroken = true,
                    Sentence = string.Create(
                        CultureInfo.InvariantCulture,
                        $"Device {place.ElementId} needs {demand} at its input; what feeds it grants class {(int)granted}, which is at most {row.PdMaximumInput}."),
                };
            }
        }
    }

    // Named as the solver names the limit of the same output, so that one cause is told once.
    private static string FeedOf(CableRun run, FlowNode place) => ReferenceEquals(place, run.Root) ? run.Id : place.Incoming.From.ElementId;

    // An upgraded source is not the port of today any more: its class follows from its limit.
    private static PoeClass? Designed(DesignParts parts, RunSource source) =>
        source is { InjectorId: null, Port: { } port } && parts.Switches[port.PseId].Ports[port] is var designed && designed.Limit == source.Limit
            ? designed.GrantableClass
            : null;
}
