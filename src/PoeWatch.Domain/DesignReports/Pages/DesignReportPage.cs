using System.Globalization;
using static PoeWatch.Domain.DesignReports.Pages.HtmlTable;
using static PoeWatch.Domain.DesignReports.ReportWords;

namespace PoeWatch.Domain.DesignReports.Pages;

/// <summary>
/// A report as one HTML file to print: nothing outside it is needed, no script, A4. Well formed as XML too. Every word that somebody wrote is escaped. Pure.
/// </summary>
public static class DesignReportPage
{
    private const int PlacesMax = 12;

    /// <summary>Piece by piece, so that a large site need not stand in memory as one text.</summary>
    public static IEnumerable<string> Pieces(DesignReport report)
    {
        ArgumentNullException.ThrowIfNull(report);
        var sources = new SourceMarks(report);
        yield return Head(report).Text;
        foreach (var pse in report.Switches)
        {
            yield return SwitchPage.Of(pse, sources).Text;
        }

        for (var at = 0; at < report.CableRuns.Length; at++)
        {
            yield return CableRunPage.Of(report.CableRuns[at], Anchor(at), sources).Text;
        }

        yield return Tail(report, sources).Text;
    }

    /// <summary>The style sheet as it stands in the page, for a content security policy that names it by its hash.</summary>
    public static string StyleOf(DesignReport report) => PageStyle.Of(report);

    private static Html Head(DesignReport report) => Html.Of($"""
        <!DOCTYPE html>
        <html lang="en" xmlns="http://www.w3.org/1999/xhtml">
        <head>
        <meta charset="utf-8"/>
        <meta name="viewport" content="width=device-width, initial-scale=1"/>
        <title>Design report: {report.SiteName}</title>
        <style>{new Html(PageStyle.Of(report))}</style>
        </head>
        <body>
        <h1>Design report</h1>
        <p class="site">{report.SiteName}</p>
        <p class="verdict">{Verdict(report.Totals)}</p>
        {(report.OnlyCableRunId is { } only ? Html.Of($"<p>Run {only} and its group only; totals and warnings are of the whole site.</p>") : default)}
        {Facts(report)}
        {Cautions(report)}
        {(report.UpsUnits.IsEmpty ? default : HtmlTable.Of("Batteries", ["UPS", "What it does"], report.UpsUnits.Select(ups => (Html[])[Cell(ups.UpsId), Cell(Lasts(ups))])))}
        {HtmlTable.Of("The site by load case", ["Load case", "May come", "#Devices W", "#At PSEs, expected W", "#At PSEs, guaranteed W", "#On the way W"], report.Totals.LoadCases.Select(c => (Html[])
        [
            Marked(c.Name, c.LoadCaseId == report.Totals.WorstLoadCaseId, "worst"), Cell(c.When), Cell(Watts(c.DemandAtPdW)), Cell(Watts(c.ExpectedDemandAtPseW)),
            Cell(Watts(c.GuaranteedDemandAtPseW)), Cell(Watts(c.ExpectedOnTheWayW)),
        ]))}
        <h2>Warnings ({report.Warnings.Length})</h2>
        <ol>{Html.Join(report.Warnings.Select(Warning))}</ol>
        <h2>Runs</h2>
        {HtmlTable.Of("Extra watts at the far end, in the worst load case of each run", ["Run", "Poles", "#Expected W", "#Guaranteed W", "What binds first, guaranteed"], report.CableRuns.Select((run, at) => (Html[])
        [
            Html.Of($"<a href=\"#{Anchor(at)}\">{run.CableRunId}</a>"), Cell(string.Join(", ", run.PoleNames)), Cell(Watts(run.Expected.FarEndExtraW)),
            Cell(Watts(run.Guaranteed.FarEndExtraW)), Cell(run.Guaranteed.Binding.Sentence),
        ]))}
        {(report.Poles.IsEmpty ? default : HtmlTable.Of("Poles: what stands on them takes at its inputs", ["Pole", "Runs", "#Demand W", "Worst load case"], report.Poles.Select(pole => (Html[])
        [
            Cell(pole.Name), Cell(string.Join(", ", pole.CableRunIds)), Cell(Watts(pole.LoadCases.Max(c => c.DemandW))), Cell(Worst(pole.LoadCases, pole.WorstLoadCaseId)),
        ])))}

        """);

    private static Html Facts(DesignReport report) => Html.Of($"""
        <dl>
        <dt>Made</dt><dd>{Date(report.MadeAt)} by PoeWatch {report.SoftwareVersion}</dd>
        <dt>Design</dt><dd>{report.DesignHash}</dd>
        <dt>Site</dt><dd>{Count(report.Totals.SwitchCount, "switch", "switches")}, {Count(report.Totals.PoleCount, "pole", "poles")}, {Count(report.Totals.CableRunCount, "run", "runs")}, {Count(report.Totals.DeviceCount, "device", "devices")}, {Plain(report.Totals.CableM)} m of cable in {Count(report.Totals.SegmentCount, "segment", "segments")}</dd>
        <dt>Expected</dt><dd>what is to be expected: nominal volts, designed or measured resistance</dd>
        <dt>Guaranteed</dt><dd>what the standard guarantees: lowest volts of the type, worst channel</dd>
        <dt>Drawings</dt><dd>bold frame: source; double frame: pass-through switch; dashed frame: extender; round corners: device</dd>
        </dl>
        """);

    private static Html Cautions(DesignReport report) => Html.Of($"""
        <div class="caution"><h2>Cautions</h2><ul>{Html.Join(report.Cautions.Select(words => Html.Of($"<li>{words}</li>")))}</ul></div>
        """);

    private static Html Warning(ReportWarning warning)
    {
        var more = warning.Elements.Length > PlacesMax ? $" and {warning.Elements.Length - PlacesMax} more" : "";
        return Html.Of($"<li><b>{warning.Code}</b>: {string.Join(", ", warning.Elements.Take(PlacesMax))}{more}. {warning.Message} {warning.Remedy}</li>\n");
    }

    private static Html Tail(DesignReport report, SourceMarks sources) => Html.Of($"""
        <section class="sheet">
        <h2>What the figures rest on</h2>
        {HtmlTable.Of("Assumptions and tables with their sources", ["Of", "What"], report.Assumptions.Select(a => (Html[])[Marked(a.Topic, a.IsFromMemory, "from memory"), Cell(a.Text)]))}
        {HtmlTable.Of("Where the limits come from", ["Mark", "Source"], sources.All.Select(s => (Html[])[Cell(s.Name), Cell(s.Source)]))}
        <p class="quiet">End of the design report of {report.SiteName}, design {report.DesignHash}.</p>
        </section>
        </body>
        </html>

        """);

    private static string Anchor(int at) => string.Create(CultureInfo.InvariantCulture, $"run-{at + 1}");
}
