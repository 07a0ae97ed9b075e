using System.Globalization;
using PoeWatch.TestKit;

namespace PoeWatch.Monitoring.Tests.Year;

/// <summary>What a run came to, for people: all of it in the test's output, the figures in the kept result.</summary>
internal static class YearReport
{
    public static void Tell(YearResult result, Action<string> tell)
    {
        foreach (var (what, figure) in Rows(result))
        {
            tell($"{what}: {figure}");
        }

        foreach (var miss in result.Score.Expected.Where(outcome => outcome.RaisedAt is null))
        {
            tell(string.Create(CultureInfo.InvariantCulture, $"MISSED fault {miss.Fault.Number}, {miss.Fault.Kind}: {miss.Fault.What}, day {miss.Fault.From.TotalDays:0.000} to {miss.Fault.To.TotalDays:0.000}: {miss.Expected.Key} by day {miss.Expected.RaisedBy.TotalDays:0.000}"));
        }

        foreach (var wrong in result.Score.False)
        {
            tell($"FALSE {wrong}");
        }

        foreach (var late in result.Score.StoodTooLong)
        {
            tell($"STOOD {late}");
        }
    }

    public static void Note(YearResult result)
    {
        foreach (var (what, figure) in Rows(result))
        {
            EvidenceRun.Note($"seed {result.Script.Seed}: {what}", figure);
        }
    }

    private static IEnumerable<(string What, string Figure)> Rows(YearResult result)
    {
        var (script, score) = (result.Script, result.Score);
        yield return ("days", Text($"{script.Days}"));
        yield return ("faults played", Text($"{script.Faults.Length} of {script.Faults.Select(f => f.Kind).Distinct().Count()} kinds"));
        yield return ("of them within 20 % of a limit", Text($"{script.Faults.Count(f => f.IsNear)}"));
        yield return ("of them below every limit, so that nothing may be told", Text($"{script.Faults.Count(f => f.Expected.IsEmpty)}"));
        yield return ("starts of the service in between", Text($"{script.ServiceRestarts.Length}"));
        yield return ("answers of agents", Text($"{result.Answers}"));
        yield return ("alarms that had to come", Text($"{score.Expected.Length}"));
        yield return ("came in time", Text($"{score.True}"));
        yield return ("other alarms that came", Text($"{score.False.Length}"));
        yield return ("recall", Text($"{score.Recall:0.0000}"));
        yield return ("precision", Text($"{score.Precision:0.0000}"));
        yield return ("alarms per operator and day", Text($"{score.Figures.PerOperatorAndDay:0.00}"));
        yield return ("most alarms in any ten minutes", Text($"{score.Figures.PeakIn10Minutes}"));
        yield return ("floods, chattering, standing at the end", Text($"{score.Figures.Floods.Length}, {score.Figures.Chattering.Length}, {score.Figures.Standing.Length}"));
        foreach (var kind in script.Faults.GroupBy(f => f.Kind).OrderBy(g => g.Key, StringComparer.Ordinal))
        {
            var expected = score.Expected.Where(o => o.Fault.Kind == kind.Key).ToList();
            yield return ($"kind: {kind.Key}", Text($"{kind.Count()} played, {expected.Count} to be told, {expected.Count(o => o.RaisedAt is not null)} told in time"));
        }

        foreach (var type in score.Expected.Where(o => o.Took is not null).GroupBy(o => o.Expected.Key.Type).OrderBy(g => g.Key, StringComparer.Ordinal))
        {
            var took = type.Select(o => o.Took!.Value.TotalMinutes).Order().ToList();
            yield return ($"time to raise: {type.Key}", Text($"median {took[took.Count / 2]:0.0} min, worst {took[^1]:0.0} min, allowed up to {type.Max(o => (o.Expected.RaisedBy - o.Expected.From).TotalMinutes):0.0} min"));
        }

        yield return ("steps and time", Text($"{result.Steps} in {result.Took.TotalSeconds:0} s"));
    }

    private static string Text(FormattableString text) => text.ToString(CultureInfo.InvariantCulture);
}
