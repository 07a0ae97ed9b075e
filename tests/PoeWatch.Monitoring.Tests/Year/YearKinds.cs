using System.Collections.Immutable;
using Microsoft.Extensions.Time.Testing;
using PoeWatch.Simulator.World;

namespace PoeWatch.Monitoring.Tests.Year;

/// <summary>One kind of fault.</summary>
/// <param name="Share">Of 200 faults of a year.</param>
/// <param name="DaysLeast">A run that is shorter has none of it.</param>
/// <param name="Draw">Draws one; null where its place is taken, then it is drawn again.</param>
internal sealed record YearKind(string Name, int Share, int DaysLeast, Func<YearFault?> Draw);

/// <summary>All kinds and how many of each.</summary>
internal static class YearKinds
{
    public static ImmutableArray<YearKind> Of(YearPlan plan, SimulatedWorld calm)
    {
        var draw = new FaultsOfDraw(plan, calm);
        var ports = new FaultsOfPorts(plan);
        var switches = new FaultsOfSwitches(plan);
        var weeks = new FaultsOverWeeks(plan, calm);
        var behaviour = new FaultsOfBehaviour(plan);
        var site = new FaultsOfSite(plan);
        return
        [
            new(FaultsOverWeeks.CreepToEnd, 4, 200, weeks.CreepUntilEnd),
            new(FaultsOverWeeks.Creep, 8, 120, weeks.SlowCreep),
            new(FaultsOverWeeks.WetJoint, 3, 200, weeks.Corrodes),
            new(FaultsOfSite.Mains, 2, 0, site.MainsOfSite),
            new(FaultsOfSite.MainsOfOne, 4, 0, site.MainsOfSwitch),
            new(FaultsOfSite.Battery, 4, 0, site.OnBattery),
            new(FaultsOfSite.Hot, 8, 0, site.CabinetHot),
            new(FaultsOfSite.Clock, 6, 0, site.ClockStepped),
            new(FaultsOfSwitches.Outage, 2, 0, switches.WholeSite),
            new(FaultsOfSwitches.FibreCut, 4, 0, switches.Cut),
            new(FaultsOfSwitches.AgentSilent, 6, 0, switches.OneSilent),
            new(FaultsOfSwitches.SupplyLost, 8, 0, switches.LoseSupply),
            new(FaultsOfSwitches.Priority, 6, 0, switches.PriorityDiffers),
            new(FaultsOfDraw.Swapped, 30, 0, draw.NearDemand),
            new(FaultsOfDraw.Heavy, 18, 0, draw.NearHeadroom),
            new(FaultsOfDraw.Lighter, 14, 0, draw.PartFailed),
            new(FaultsOfPorts.Unplugged, 10, 0, ports.Unplug),
            new(FaultsOfPorts.Stranger, 8, 0, ports.Undesigned),
            new(FaultsOfPorts.SmallGrant, 6, 0, ports.GrantSmall),
            new(FaultsOfPorts.Faulty, 6, 0, ports.Fault),
            new(FaultsOfPorts.SwitchedOff, 4, 0, ports.SwitchOff),
            new(FaultsOfPorts.NoSignature, 4, 0, ports.Signature),
            new(FaultsOfPorts.Short, 5, 0, ports.ShortCircuit),
            new(FaultsOfBehaviour.Flaps, 8, 0, behaviour.LoosePlug),
            new(FaultsOfBehaviour.Counts, 8, 0, behaviour.Count),
            new(FaultsOfBehaviour.Plan, 4, 0, behaviour.IgnoresPlan),
            new(FaultsOfBehaviour.WrongClass, 4, 0, behaviour.AsksForLess),
            new(FaultsOfBehaviour.WrongType, 6, 0, behaviour.OfAnotherType),
        ];
    }

    /// <summary>How many kinds fit into so many days.</summary>
    public static int Count(int days)
    {
        SimulatedWorld calm = new(YearHarbour.Written, 0, new FakeTimeProvider(YearRun.Start));
        return Of(new YearPlan(0, days, YearHarbour.Written), calm).Count(kind => kind.DaysLeast <= days);
    }

    /// <summary>As many as asked for, each kind by its share and at least once, in the order of the table: what needs most room comes first.</summary>
    public static IEnumerable<YearKind> Shares(ImmutableArray<YearKind> kinds, int days, int faults)
    {
        ImmutableArray<YearKind> fit = [.. kinds.Where(kind => kind.DaysLeast <= days)];
        double all = fit.Sum(kind => kind.Share);
        var counts = fit.Select(kind => faults < fit.Length ? 1 : Math.Max(1, (int)Math.Floor(faults * kind.Share / all))).ToArray();
        for (var i = 0; counts.Sum() < faults; i = (i + 1) % counts.Length)
        {
            counts[i]++;
        }

        return fit.SelectMany((kind, i) => Enumerable.Repeat(kind, counts[i]));
    }
}
