using System.Collections.Immutable;
using System.Globalization;
using PoeWatch.Domain.Alarms;
using PoeWatch.Domain.Alarms.Figures;

namespace PoeWatch.Monitoring.Tests.Year;

/// <summary>An expected alarm and the one that came; null where none came in time.</summary>
internal sealed record ExpectedOutcome(YearFault Fault, ExpectedAlarm Expected, TimeSpan? RaisedAt)
{
    public TimeSpan? Took => RaisedAt - Expected.From;
}

/// <summary>An alarm that was raised and belongs to no fault's window. It may stand near one all the same.</summary>
internal sealed record FalseAlarm(TimeSpan At, AlarmChange Change, YearFault? Near)
{
    public override string ToString() => string.Create(
        CultureInfo.InvariantCulture,
        $"day {At.TotalDays:0.000}: {Change.Key.Resource} {Change.Key.Type} ({(Near is null ? "no fault near" : $"fault {Near.Number}, {Near.Kind}: {Near.What}, day {Near.From.TotalDays:0.000} to {Near.To.TotalDays:0.000}")}). {Change.Text}");
}

/// <summary>
/// What came held against what had to come. True is an alarm of the same resource and type within the window of its fault, once; whatever else was raised is false,
/// repeats and consequences among it. Alarms that were to call nobody do not count.
/// </summary>
internal sealed class YearScore
{
    // Near in the lists, for those who look for a cause: no part of the score.
    private static readonly TimeSpan s_near = TimeSpan.FromHours(3);

    private YearScore(ImmutableArray<ExpectedOutcome> expected, ImmutableArray<FalseAlarm> falseAlarms, ImmutableArray<string> late, AlarmFigures figures) =>
        (Expected, False, StoodTooLong, Figures) = (expected, falseAlarms, late, figures);

    public ImmutableArray<ExpectedOutcome> Expected { get; }

    public ImmutableArray<FalseAlarm> False { get; }

    /// <summary>True alarms that were not cleared by their time. No part of recall or precision: they are listed in the run's output and nothing is asserted of them.</summary>
    public ImmutableArray<string> StoodTooLong { get; }

    public AlarmFigures Figures { get; }

    public int True => Expected.Count(outcome => outcome.RaisedAt is not null);

    public double Recall => Expected.IsEmpty ? 1 : (double)True / Expected.Length;

    public double Precision => True + False.Length == 0 ? 1 : (double)True / (True + False.Length);

    /// <param name="changes">As the store has them, in order of time.</param>
    public static YearScore Of(YearScript script, IReadOnlyList<AlarmChange> changes, IEnumerable<Alarm> alarms, DateTimeOffset start)
    {
        List<AlarmChange> raised = [.. changes.Where(c => c is { Kind: AlarmChangeKinds.Raised, QuietBecause.Length: 0 })];
        var taken = new HashSet<AlarmChange>(ReferenceEqualityComparer.Instance);
        var outcomes = ImmutableArray.CreateBuilder<ExpectedOutcome>();
        var tooLong = ImmutableArray.CreateBuilder<string>();
        foreach (var (fault, expected) in script.Faults.SelectMany(fault => fault.Expected.Select(expected => (fault, expected))))
        {
            var hit = raised.Find(c => c.Key == expected.Key && c.At - start >= expected.From && c.At - start <= expected.RaisedBy && !taken.Contains(c));
            outcomes.Add(new ExpectedOutcome(fault, expected, hit is null ? null : hit.At - start));
            if (hit is null)
            {
                continue;
            }

            taken.Add(hit);
            var cleared = changes.FirstOrDefault(c => c.Key == expected.Key && c.Kind == AlarmChangeKinds.Cleared && c.At >= hit.At);
            if (expected.Until < TimeSpan.FromDays(script.Days) && (cleared is null || cleared.At - start > expected.Until))
            {
                tooLong.Add(string.Create(CultureInfo.InvariantCulture, $"fault {fault.Number}, {fault.Kind}: {expected.Key} should be gone by day {expected.Until.TotalDays:0.000}, was gone by {(cleared?.At - start)?.TotalDays:0.000}"));
            }
        }

        return new YearScore(
            outcomes.ToImmutable(),
            [.. raised.Where(c => !taken.Contains(c)).Select(c => new FalseAlarm(c.At - start, c, Near(script, c, c.At - start)))],
            tooLong.ToImmutable(),
            AlarmFigures.Of(changes, alarms, start, start + TimeSpan.FromDays(script.Days), operators: 1));
    }

    /// <summary>Raised and in the window of nothing, for those who watch a run: repeats and lateness are left to the score.</summary>
    public static IEnumerable<string> Unforeseen(YearScript script, IEnumerable<AlarmChange> changes, DateTimeOffset start) =>
        from change in changes
        where change is { Kind: AlarmChangeKinds.Raised, QuietBecause.Length: 0 }
        let at = change.At - start
        where !script.Faults.Any(fault => fault.Expected.Any(expected => expected.Key == change.Key && expected.From <= at && at <= expected.Until))
        select "so far unforeseen: " + new FalseAlarm(at, change, Near(script, change, at));

    private static YearFault? Near(YearScript script, AlarmChange change, TimeSpan at)
    {
        List<YearFault> about = [.. script.Faults.Where(fault => fault.From <= at && at <= fault.To + s_near)];
        var place = change.Key.Resource[(change.Key.Resource.IndexOf('/', StringComparison.Ordinal) + 1)..];
        return about.Find(fault => fault.What.Contains(place, StringComparison.Ordinal)) ?? about.LastOrDefault();
    }
}
