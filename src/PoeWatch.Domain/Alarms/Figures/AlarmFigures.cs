using System.Collections.Immutable;

namespace PoeWatch.Domain.Alarms.Figures;

/// <summary>A stretch in which more alarms came than one person can take in.</summary>
/// <param name="From">Begin of the first ten minutes with more than ten alarms.</param>
/// <param name="To">Begin of the first ten minutes after it with fewer than five, or the end of the period.</param>
/// <param name="Alarms">How many came in it.</param>
/// <param name="PeakIn10Minutes">The most of them in one of its ten minutes.</param>
public sealed record AlarmFlood(DateTimeOffset From, DateTimeOffset To, int Alarms, int PeakIn10Minutes);

/// <summary>How often one alarm came.</summary>
/// <param name="Share">Of all alarms of the period, 0 to 1.</param>
public sealed record AlarmFrequency(AlarmKey Key, int Raised, double Share);

/// <summary>
/// What the service says of its own alarms over a period, in the measures of ISA-18.2 and EEMUA 191; only alarms that were to call somebody count. Immutable.
/// </summary>
/// <param name="From">UTC, included.</param>
/// <param name="To">UTC, not included.</param>
/// <param name="Operators">Among how many people the alarms are shared, 1 or more.</param>
/// <param name="Raised">Alarms that came.</param>
/// <param name="PerOperatorAndDay">Of them, for each operator and day.</param>
/// <param name="PeakIn10Minutes">The most in any ten minutes, wherever they begin.</param>
/// <param name="Floods">In order of time.</param>
/// <param name="FloodShare">Share of the period that was flood, 0 to 1.</param>
/// <param name="Standing">Active for more than 24 h at the end and neither shelved nor suppressed.</param>
/// <param name="Chattering">Came three times or more within a minute.</param>
/// <param name="Fleeting">Came once and went within <see cref="AlarmFigures.FleetingMax"/>.</param>
/// <param name="Top">The ten most frequent.</param>
/// <param name="BySeverity">Alarms that came, by the severity that they came with.</param>
public sealed record AlarmFigures(
    DateTimeOffset From,
    DateTimeOffset To,
    int Operators,
    int Raised,
    double PerOperatorAndDay,
    int PeakIn10Minutes,
    ImmutableArray<AlarmFlood> Floods,
    double FloodShare,
    ImmutableArray<AlarmKey> Standing,
    ImmutableArray<AlarmKey> Chattering,
    ImmutableArray<AlarmKey> Fleeting,
    ImmutableArray<AlarmFrequency> Top,
    ImmutableSortedDictionary<AlarmSeverity, int> BySeverity)
{
    /// <summary>
    /// ISA-18.2 speaks of seconds; an alarm of ours stays for its off-delay of a minute after its condition is gone, so what goes within 90 s had a
    /// condition of seconds. Own figure.
    /// </summary>
    public static readonly TimeSpan FleetingMax = TimeSpan.FromSeconds(90);

    private const int TopCount = 10;
    private const int ChatteringTimes = 3;
    private static readonly TimeSpan s_chatteringWithin = TimeSpan.FromMinutes(1);

    /// <summary>Share of the period that the ten most frequent make up, 0 to 1.</summary>
    public double TopShare => Top.Sum(t => t.Share);

    /// <param name="changes">Changes of the period in order of time; others are passed over.</param>
    /// <param name="alarms">Alarms as they stand at the end of the period.</param>
    public static AlarmFigures Of(
        IReadOnlyCollection<AlarmChange> changes, IEnumerable<Alarm> alarms, DateTimeOffset from, DateTimeOffset to, int operators)
    {
        ArgumentOutOfRangeException.ThrowIfLessThanOrEqual(to, from);
        ArgumentOutOfRangeException.ThrowIfLessThan(operators, 1);
        List<AlarmChange> ofPeriod = [.. changes.Where(c => c.At >= from && c.At < to)];
        List<AlarmChange> raised = [.. ofPeriod.Where(c => c is { Kind: AlarmChangeKinds.Raised, QuietBecause.Length: 0 })];
        List<DateTimeOffset> times = [.. raised.Select(c => c.At).Order()];
        var byKey = raised.GroupBy(c => c.Key).ToDictionary(g => g.Key, g => g.Select(c => c.At).Order().ToList());
        var floods = AlarmFloods.Find(times, from, to);
        return new AlarmFigures(
            from,
            to,
            operators,
            raised.Count,
            raised.Count / (to - from).TotalDays / operators,
            MostWithin(times, AlarmFloods.Window),
            floods,
            floods.Sum(f => (f.To - f.From).TotalSeconds) / (to - from).TotalSeconds,
            [.. alarms.Where(a => a.IsStanding(to) && a.QuietBecause.Length == 0).Select(a => a.Key).Order()],
            [.. byKey.Where(k => MostWithin(k.Value, s_chatteringWithin) >= ChatteringTimes).Select(k => k.Key).Order()],
            [.. byKey.Where(k => k.Value.Count == 1 && IsGoneSoon(ofPeriod, k.Key, k.Value[0])).Select(k => k.Key).Order()],
            [
                .. byKey.Select(k => new AlarmFrequency(k.Key, k.Value.Count, (double)k.Value.Count / raised.Count))
                    .OrderByDescending(f => f.Raised).ThenBy(f => f.Key).Take(TopCount),
            ],
            raised.GroupBy(c => c.Severity).ToImmutableSortedDictionary(g => g.Key, g => g.Count()));
    }

    /// <summary>The most times that fall into one stretch [t, t + within), wherever it begins.</summary>
    private static int MostWithin(List<DateTimeOffset> times, TimeSpan within)
    {
        var (most, first) = (0, 0);
        for (var last = 0; last < times.Count; last++)
        {
            while (times[last] - times[first] >= within)
            {
                first++;
            }

            most = Math.Max(most, last - first + 1);
        }

        return most;
    }

    private static bool IsGoneSoon(List<AlarmChange> changes, AlarmKey key, DateTimeOffset at) =>
        changes.Exists(c => c.Key == key && c.Kind == AlarmChangeKinds.Cleared && c.At >= at && c.At - at <= FleetingMax);
}
