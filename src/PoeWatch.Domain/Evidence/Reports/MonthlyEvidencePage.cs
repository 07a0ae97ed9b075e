using System.Globalization;
using PoeWatch.Domain.Alarms;
using PoeWatch.Domain.DesignReports.Pages;
using PoeWatch.Domain.Evidence.Seals;
using static PoeWatch.Domain.DesignReports.Pages.HtmlTable;
using static PoeWatch.Domain.DesignReports.ReportWords;

namespace PoeWatch.Domain.Evidence.Reports;

/// <summary>The report of a month as one HTML file to print: nothing outside it is needed, no script, A4. Every word that somebody wrote is escaped. Pure.</summary>
public static class MonthlyEvidencePage
{
    /// <summary>Piece by piece, so that a large site need not stand in memory as one text.</summary>
    public static IEnumerable<string> Pieces(MonthlyEvidence month)
    {
        ArgumentNullException.ThrowIfNull(month);
        yield return Head(month).Text;
        yield return Energy(month).Text;
        yield return Polling(month).Text;
        yield return Events(month).Text;
        yield return Roots(month).Text;
    }

    /// <summary>The style sheet as it stands in the page, for a content security policy that names it by its hash.</summary>
    public static string StyleOf(MonthlyEvidence month) => PageStyle.Of($"Evidence: {month.SiteName}", $"{Name(month)}, made {Date(month.MadeAt)}");

    private static Html Head(MonthlyEvidence month) => Html.Of($"""
        <!DOCTYPE html>
        <html lang="en" xmlns="http://www.w3.org/1999/xhtml">
        <head>
        <meta charset="utf-8"/>
        <meta name="viewport" content="width=device-width, initial-scale=1"/>
        <title>Evidence of {Name(month)}: {month.SiteName}</title>
        <style>{new Html(StyleOf(month))}</style>
        </head>
        <body>
        <h1>Evidence of {Name(month)}</h1>
        <p class="site">{month.SiteName}</p>
        <p class="verdict">{Verdict(month)}</p>
        <dl>
        <dt>Period</dt><dd>{Date(month.Start)} to {Date(month.End)}{(month.IsOver ? "" : ", the month is not over")}; days of {month.TimeZoneId}</dd>
        <dt>Made</dt><dd>{Date(month.MadeAt)} by PoeWatch {month.SoftwareVersion}</dd>
        <dt>Energy</dt><dd>at the PSE, over the time that draws cover and over no other: a gap is not zero, and nothing was filled in</dd>
        <dt>Peaks</dt><dd>the largest draw that a poll saw; what lies between two polls nobody saw</dd>
        </dl>
        <div class="caution"><h2>Cautions</h2><ul>
        <li>PoE is not a life-safety supply. Do not rely on it, or on this report, where a life depends on a device being fed.</li>
        <li>This page is a summary. What is proven stands in the export of the same period, checked with the public key and an earlier root.</li>
        </ul></div>

        """);

    private static Html Energy(MonthlyEvidence month) => Html.Of($"""
        <h2>Energy and peaks against the design</h2>
        {HtmlTable.Of("By run", ["Run", "Poles", "#Energy kWh", "#Covered %", "#Peak W", "#At about (UTC)", "#Design, worst W", "#Limit W", ""], month.CableRuns.Select(run => (Html[])
        [
            Cell(run.CableRunId), Cell(run.Poles), Cell(run.EnergyWattHours is { } energy ? Number(energy / 1000, "0.000") : "–"), Cell(Number(run.CoveragePercent, "0.0")),
            Cell(Watts(run.PeakW)), Cell(run.PeakAt is { } at ? Time(at) : "–"), Cell(Watts(run.DesignDemandW)), Cell(Watts(run.LimitW)), Mark(run),
        ]))}
        <p>Energy of all runs: {TotalOf(month)}.</p>

        """);

    private static Html Polling(MonthlyEvidence month) => Html.Of($"""
        <h2>Completeness</h2>
        {HtmlTable.Of("Polls, and quarter-hours that are sealed", ["Element", "#Polls", "#Answered", "#Answered %", "#Sealed quarter-hours", "#of", "#Amendments"], month.Switches.Select(s => (Html[])
        [
            Cell(s.PseId), Cell(Whole(s.Polls)), Cell(Whole(s.Answered)), Cell(s.Polls > 0 ? Number(100.0 * s.Answered / s.Polls, "0.0") : "–"),
            Cell(Whole(s.SealedQuarterHours)), Cell(Whole(s.QuarterHours)), Cell(Whole(s.Amendments)),
        ]))}

        """);

    private static Html Events(MonthlyEvidence month) => Html.Of($"""
        <h2>Alarms and who answered them</h2>
        <p>{(month.AlarmChanges == 0 ? "No alarm changed in the month." : string.Join(", ", month.AlarmCounts.Select(c => $"{Whole(c.Count)} {c.Kind}")) + ".")}
        {(month.AlarmChanges > month.Alarms.Length ? $"The first {Whole(month.Alarms.Length)} of {Whole(month.AlarmChanges)} changes are listed; the export has all." : "")}</p>
        {(month.Alarms.IsEmpty ? default : HtmlTable.Of("Changes", ["#Time (UTC)", "What", "Alarm", "Severity", "Who", "Words"], month.Alarms.Select(a => (Html[])
        [
            Cell(Time(a.At)), Cell(a.Kind), Cell($"{a.Key.Resource} {a.Key.Type}"), Cell(SeverityOf(a)), Cell(a.Who.Length > 0 ? a.Who : "service"), Cell(a.Text),
        ])))}
        <h2>Designs in force</h2>
        {HtmlTable.Of("Changes of the design", ["Design", "#From (UTC)", "#Until (UTC)", "Applied by"], month.Designs.Select(d => (Html[])
        [
            Cell(d.Hash), Cell(Time(d.From)), Cell(d.Until is { } until ? Time(until) : "in force"), Cell(d.AppliedBy),
        ]))}

        """);

    private static Html Roots(MonthlyEvidence month) => Html.Of($"""
        <section class="sheet">
        <h2>Roots of the days</h2>
        <p>Whoever keeps this page can show later that nothing sealed up to these days was changed: the roots of the export must be the same, digit by digit.</p>
        {(month.Roots.IsEmpty ? Html.Of($"<p>No day of the month is sealed yet.</p>") : HtmlTable.Of("Days of UTC", ["#Day", "#Leaves", "Root (SHA-256)", "Signed with key"], month.Roots.Select(r => (Html[])
        [
            Cell(r.Day.ToString("yyyy-MM-dd", CultureInfo.InvariantCulture)), Cell(Whole(r.Size)), Grouped(r.Root), Cell(r.IsSigned ? r.KeyId[..16] + "…" : "not signed"),
        ])))}
        <table><tbody><tr><td>Seen by</td><td>Date</td><td>Signature</td></tr><tr><td>&#160;<br/>&#160;</td><td></td><td></td></tr></tbody></table>
        <p class="quiet">End of the evidence of {Name(month)}, {month.SiteName}.</p>
        </section>
        </body>
        </html>

        """);

    private static string Name(MonthlyEvidence month) => month.Month.ToString("yyyy-MM", CultureInfo.InvariantCulture);

    private static string Verdict(MonthlyEvidence month)
    {
        var above = month.CableRuns.Count(IsAbove);
        var metered = month.CableRuns.Where(r => !r.IsUnmetered).ToList();
        var coverage = metered.Count == 0 ? "no run is metered" : $"draws cover {Number(metered.Average(r => r.CoveragePercent), "0.0")} % of the time on average";
        return $"{Count(month.CableRuns.Length, "run", "runs")}, {coverage}; {(above == 0 ? "no peak above its design" : Count(above, "peak", "peaks") + " above the design")}; {Count(month.AlarmChanges, "change", "changes")} of alarms.";
    }

    private static bool IsAbove(RunMonth run) => run is { PeakW: { } peak, DesignDemandW: { } demand } && peak > demand;

    private static Html Mark(RunMonth run) => run.IsUnmetered ? Marked("", true, "unmetered") : IsAbove(run) ? Marked("", true, "above design") : default;

    private static string TotalOf(MonthlyEvidence month)
    {
        var known = month.CableRuns.Where(r => r.EnergyWattHours is not null).ToList();
        var total = $"{Number(known.Sum(r => r.EnergyWattHours!.Value) / 1000, "0.000")} kWh measured";
        var partly = month.CableRuns.Count(r => r.CoveragePercent < 99.95);
        return partly == 0 ? total : $"{total}; {Count(partly, "run is", "runs are")} not covered for the whole period, so the whole is not known";
    }

    // In two lines of blocks of eight, so that two pages can be compared by eye.
    private static Html Grouped(Digest root) => Html.Join(root.ToString().Chunk(8).Select((block, at) => Html.Of($"{(at == 4 ? new Html("<br/>") : default)}{new string(block)} ")));

    private static string Time(DateTimeOffset time) => time.UtcDateTime.ToString("yyyy-MM-dd HH:mm", CultureInfo.InvariantCulture);

    private static string Whole(long number) => number.ToString(CultureInfo.InvariantCulture);

    private static string SeverityOf(AlarmChange change) => change.Severity.ToString().ToLower(CultureInfo.InvariantCulture);
}
