using PoeWatch.Domain.Quantities;

namespace PoeWatch.Monitoring.Polling.DrawSources;

/// <summary>What was decided of one source in one group.</summary>
/// <param name="IsPublished">False where its figures are withheld.</param>
/// <param name="IsAllocation">True where they are taken for allocations.</param>
internal readonly record struct GroupRuling(UnitVerdict Verdict, double Factor, GroupSums Sums, bool IsPublished, bool IsAllocation);

/// <summary>
/// Remembers, for each source and group of one agent, whether its figures may be believed: a conflict of units counts at once and ends after some polls
/// that agree. Used by one poll at a time.
/// </summary>
internal sealed class DrawCourt
{
    private const int PollsToBelieveAgain = 3;

    private readonly Dictionary<(string Source, int Group), int> _withheld = [];
    private readonly Dictionary<(string Source, int Group), AllocationWatch> _watches = [];

    /// <summary>True where the figures of any source are withheld.</summary>
    public bool HasWithheld => _withheld.Count > 0;

    public GroupRuling Rule(string source, int group, IReadOnlyList<int> slots, GroupJudge judge, Power? total, Power? budget)
    {
        GroupSums sums = judge.Sums(slots, total, budget);
        var (verdict, factor) = UnitSanity.Check(sums);
        (string, int) key = (source, group);
        if (verdict is UnitVerdict.PortsWrong or UnitVerdict.Undecided)
        {
            _withheld[key] = PollsToBelieveAgain;
        }
        else if (verdict == UnitVerdict.Agrees && _withheld.TryGetValue(key, out var left))
        {
            _withheld[key] = left - 1;
            if (left <= 1)
            {
                _withheld.Remove(key);
            }
        }

        return new GroupRuling(verdict, factor, sums, !_withheld.ContainsKey(key), IsAllocation(key, slots, judge));
    }

    private bool IsAllocation((string Source, int Group) key, IReadOnlyList<int> slots, GroupJudge judge)
    {
        if (!_watches.TryGetValue(key, out AllocationWatch? watch))
        {
            _watches[key] = watch = new AllocationWatch();
        }

        judge.Show(watch, slots);
        return watch.IsAllocation;
    }
}
