using System.Collections.Immutable;
using PoeWatch.Domain.Quantities;
using PoeWatch.Domain.Readings;

namespace PoeWatch.Monitoring.Polling.DrawSources;

/// <summary>The groups of one poll with what the ports say of their figures.</summary>
/// <param name="groups">As RFC 3621 has them.</param>
/// <param name="figures">pethMainPseConsumptionPower as the agent writes it, whatever it may mean.</param>
internal sealed class GroupVerdicts(ImmutableArray<GroupReading> groups, IReadOnlyDictionary<int, Power> figures)
{
    private readonly List<SourceRuling> _rulings = [];

    public ImmutableArray<SourceRuling> Rulings => [.. _rulings];

    public ImmutableArray<ReadingFinding> Findings =>
    [
        .. _rulings.Select(r => UnitTexts.Finding(r.Source, r.Group, r.Ruling.Verdict, r.Ruling.Factor, r.Ruling.Sums)).OfType<ReadingFinding>(),
        .. _rulings.Where(r => r.Ruling is { IsAllocation: true, IsPublished: true }).Select(r => UnitTexts.AllocationAsDraw(r.Source, r.Group)),
    ];

    public Power? Figure(int group) => figures.TryGetValue(group, out Power figure) ? figure : null;

    public Power? Budget(int group) => groups.FirstOrDefault(g => g.Group == group)?.Budget;

    public void Add(string source, int group, GroupRuling ruling) => _rulings.Add(new SourceRuling(source, group, ruling));

    /// <summary>The groups, their figures called what they are: none where the unit is in doubt, an allocation where that is what they add up.</summary>
    public ImmutableArray<GroupReading> Groups(ImmutableArray<PortReading> ports) =>
    [
        .. groups.Select(group =>
        {
            SourceRuling[] rulings = [.. _rulings.Where(r => r.Group == group.Group)];
            if (rulings.Any(r => r.Ruling.Verdict is UnitVerdict.TotalWrong or UnitVerdict.Undecided))
            {
                return group with { DrawAtPse = null, Provenance = Provenance.Unknown };
            }

            var isAllocation = rulings.Any(r => r.Ruling.Verdict == UnitVerdict.TotalIsAllocation || r.Ruling is { IsAllocation: true, Verdict: UnitVerdict.Agrees })
                || AddsUpAllocations(group, ports);
            return group.DrawAtPse is not null && isAllocation ? group with { Provenance = Provenance.Allocated } : group;
        }),
    ];

    // Where the ports themselves show allocations and the group the sum of them, the group's figure is one too.
    private static bool AddsUpAllocations(GroupReading group, ImmutableArray<PortReading> ports)
    {
        PortReading[] delivering = [.. ports.Where(p => p.Port.Group == group.Group && p.State == PortState.Delivering)];
        var sum = delivering.Sum(p => p.DrawAtPse?.Watts ?? double.NaN);
        return delivering.Length > 0 && delivering.All(p => p.Provenance == Provenance.Allocated)
            && group.DrawAtPse is { } total && Math.Abs(sum - total.Watts) <= 1 + (0.02 * total.Watts);
    }
}
