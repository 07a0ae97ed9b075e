using System.Collections.Immutable;
using PoeWatch.Domain.Quantities;
using PoeWatch.Domain.Readings;

namespace PoeWatch.Monitoring.Polling.DrawSources;

/// <summary>The groups of one poll with what the ports say of their figures.</summary>
/// <param name="groups">As RFC 3621 has them.</param>
/// <param name="cells">The same as the agent writes it, whatever it may mean; looked at during the poll only.</param>
internal sealed class GroupVerdicts(ImmutableArray<GroupReading> groups, List<GroupCells> cells)
{
    private readonly List<SourceRuling> _rulings = new(1);

    public IReadOnlyList<SourceRuling> Rulings => _rulings;

    public ImmutableArray<ReadingFinding> Findings
    {
        get
        {
            ImmutableArray<ReadingFinding> units = [];
            ImmutableArray<ReadingFinding> echoes = [];
            foreach (SourceRuling r in _rulings)
            {
                units = UnitTexts.Finding(r.Source, r.Group, r.Ruling.Verdict, r.Ruling.Factor, r.Ruling.Sums) is { } unit ? units.Add(unit) : units;
                echoes = r.Ruling is { IsAllocation: true, IsPublished: true } ? echoes.Add(UnitTexts.AllocationAsDraw(r.Source, r.Group)) : echoes;
            }

            return units.AddRange(echoes);
        }
    }

    public Power? Figure(int group)
    {
        foreach (GroupCells row in cells)
        {
            if (row.Group == group)
            {
                return row.Figure;
            }
        }

        return null;
    }

    public Power? Budget(int group)
    {
        foreach (GroupReading reading in groups)
        {
            if (reading.Group == group)
            {
                return reading.Budget;
            }
        }

        return null;
    }

    public void Add(string source, int group, GroupRuling ruling) => _rulings.Add(new SourceRuling(source, group, ruling));

    /// <summary>The groups, their figures called what they are: none where the unit is in doubt, an allocation where that is what they add up.</summary>
    public ImmutableArray<GroupReading> Groups(ImmutableArray<PortReading> ports)
    {
        ImmutableArray<GroupReading> named = groups;
        for (var i = 0; i < groups.Length; i++)
        {
            GroupReading now = Named(groups[i], ports);
            named = ReferenceEquals(now, groups[i]) ? named : named.SetItem(i, now);
        }

        return named;
    }

    private GroupReading Named(GroupReading group, ImmutableArray<PortReading> ports)
    {
        var (isInDoubt, isAllocation) = (false, false);
        foreach (SourceRuling ruling in _rulings)
        {
            if (ruling.Group == group.Group)
            {
                isInDoubt |= ruling.Ruling.Verdict is UnitVerdict.TotalWrong or UnitVerdict.Undecided;
                isAllocation |= ruling.Ruling.Verdict == UnitVerdict.TotalIsAllocation || ruling.Ruling is { IsAllocation: true, Verdict: UnitVerdict.Agrees };
            }
        }

        return isInDoubt ? group with { DrawAtPse = null, Provenance = Provenance.Unknown }
            : group.DrawAtPse is not null && (isAllocation || AddsUpAllocations(group, ports)) ? group with { Provenance = Provenance.Allocated }
            : group;
    }

    // Where the ports themselves show allocations and the group the sum of them, the group's figure is one too.
    private static bool AddsUpAllocations(GroupReading group, ImmutableArray<PortReading> ports)
    {
        var (sum, delivering) = (0.0, 0);
        foreach (PortReading port in ports)
        {
            if (port.Port.Group == group.Group && port.State == PortState.Delivering)
            {
                if (port.Provenance != Provenance.Allocated)
                {
                    return false;
                }

                delivering++;
                sum += port.DrawAtPse?.Watts ?? double.NaN;
            }
        }

        return delivering > 0 && group.DrawAtPse is { } total && Math.Abs(sum - total.Watts) <= 1 + (0.02 * total.Watts);
    }
}
