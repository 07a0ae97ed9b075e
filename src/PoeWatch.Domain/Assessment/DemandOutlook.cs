using System.Collections.Immutable;
using PoeWatch.Domain.Quantities;
using PoeWatch.Domain.Readings;

namespace PoeWatch.Domain.Assessment;

/// <summary>The load case that asks most, and how much it asks at the PSE by the design.</summary>
/// <param name="IsLimit">True where the load of a run cannot be fed in that case and counts with the limit of its source.</param>
public sealed record WorstDemand(string LoadCaseId, Power Demand, bool IsLimit);

/// <summary>What the design asks for at one place, in the worst of the load cases of three spans.</summary>
public sealed record WorstDemands(WorstDemand Now, WorstDemand Today, WorstDemand Season);

/// <summary>
/// The worst that a design can still ask for, of everything from one port up to the site: worked out from one assessment when asked for. Immutable and thread safe.
/// </summary>
public sealed class DemandOutlook
{
    private readonly DesignAnalysis _analysis;
    private readonly LoadCaseOutlook _outlook;

    internal DemandOutlook(DesignAnalysis analysis, LoadCaseOutlook outlook) => (_analysis, _outlook) = (analysis, outlook);

    /// <summary>A designed port; null where the design has nothing there.</summary>
    public WorstDemands? OfPort(PsePortRef port) =>
        _analysis.Ports.TryGetValue(port, out var design) && design.Feeds is not null ? Of([design]) : null;

    /// <summary>The designed ports of a PSE group together.</summary>
    public WorstDemands OfGroup(string pseId, int group) => Of(_analysis.PortsOf(pseId, group));

    /// <summary>All designed ports of a switch, or of another element with an agent, together.</summary>
    public WorstDemands OfSwitch(string pseId) => Of(_analysis.PortsOf(pseId));

    /// <summary>The runs that serve a pole together, whole; null where it has none.</summary>
    public WorstDemands? OfPole(string poleId) =>
        _analysis.Design.CableRunsByPole.TryGetValue(poleId, out var runs) ? OfRuns(runs.Select(run => run.Id)) : null;

    /// <summary>All runs together, at the ports and injectors that feed them.</summary>
    public WorstDemands OfSite() => OfRuns(_analysis.CableRuns.Keys);

    private WorstDemands OfRuns(IEnumerable<string> runIds)
    {
        var runs = runIds.Select(id => (Cases: _analysis.CableRuns[id], _analysis.Design.CableRuns[id].Source.Limit)).ToList();
        return Worst(i => runs.Select(run => (run.Cases[i].DrawAtPse, run.Limit)));
    }

    private WorstDemands Of(IEnumerable<PortDesign> ports)
    {
        var fed = ports.Where(port => port.Feeds is not null).ToList();
        return Worst(i => fed.Select(port => (port.Demand([i]), port.Limit)));
    }

    private WorstDemands Worst(Func<int, IEnumerable<(Power? Demand, Power Limit)>> parts)
    {
        var sums = new Dictionary<int, WorstDemand>();
        return new WorstDemands(Among(_outlook.InForce), Among(_outlook.Today), Among(_outlook.Season));

        WorstDemand Among(ImmutableArray<int> cases) => cases.Select(Sum).MaxBy(worst => worst.Demand)!;

        WorstDemand Sum(int i)
        {
            if (!sums.TryGetValue(i, out var sum))
            {
                var (watts, isLimit) = (Power.Zero, false);
                foreach (var (demand, limit) in parts(i))
                {
                    watts += demand ?? limit;
                    isLimit |= demand is null;
                }

                sums[i] = sum = new WorstDemand(_analysis.Cases[i].Id, watts, isLimit);
            }

            return sum;
        }
    }
}
