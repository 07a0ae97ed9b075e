using System.Collections.Immutable;
using PoeWatch.Domain.Assessment;
using PoeWatch.Domain.Conditions;
using PoeWatch.Domain.Readings;

namespace PoeWatch.Domain.Alarms.Memory;

/// <summary>
/// What the design in force asks of ports in quarter-hours that are over, as it would have been assessed then. What thermometers showed then is not known any more: where nobody posted it,
/// climate and sun say it or it counts as possible. Remembers each quarter-hour asked for. For one thread.
/// </summary>
public sealed class PastDemands(DesignAnalysis analysis, IReadOnlyCollection<PostedCondition> posted)
{
    private static readonly TimeSpan s_quarter = TimeSpan.FromMinutes(15);

    private readonly Dictionary<DateTimeOffset, ImmutableArray<int>> _inForce = [];

    /// <summary>Largest demand at the PSE at the begin and at the end of the quarter-hour; NaN where nothing is designed.</summary>
    public double WattsOf(PsePortRef port, DateTimeOffset start) =>
        analysis.Ports.GetValueOrDefault(port) is { } design && design.Demand([.. InForce(start).Union(InForce(start + s_quarter))]) is { } watts ? watts.Watts : double.NaN;

    /// <summary>What arrives at the PDs of what the PSE gives, 0..1: by this share the PSE gives more than a PD reports.</summary>
    public double PdShareOf(PsePortRef port, DateTimeOffset start) => analysis.Ports.GetValueOrDefault(port) is { Cases.IsEmpty: false } design
        ? InForce(start).Select(i => design.Cases[i]).MaxBy(c => c.DrawAtPse ?? default)!.PdShare
        : 1.0;

    private ImmutableArray<int> InForce(DateTimeOffset at)
    {
        if (!_inForce.TryGetValue(at, out var cases))
        {
            var words = PostedCondition.Newest(posted.Where(word => word.At <= at)).Values;
            cases = analysis.Calendar.At(at, ConditionReckoner.Reckon(analysis.Design, at, words, [])).InForce;
            _inForce.Add(at, cases);
        }

        return cases;
    }
}
