using static PoeWatch.Domain.DesignReports.Pages.HtmlTable;
using static PoeWatch.Domain.DesignReports.ReportWords;

namespace PoeWatch.Domain.DesignReports.Pages;

/// <summary>The sheet of one run, starting on a page of its own.</summary>
internal static class CableRunPage
{
    internal static Html Of(ReportCableRun run, string anchor, SourceMarks sources) => Html.Of($"""
        <section class="sheet" id="{anchor}">
        <h2>Run {run.CableRunId}: {string.Join(", ", run.PoleNames)}</h2>
        <p class="verdict">{Verdict(run)}</p>
        <dl>
        <dt>Fed by</dt><dd>{Source(run.Source)}; {run.Source.Name}</dd>
        <dt>Worst load case</dt><dd>{run.WorstLoadCaseName}; the drawing and the figures below are in it</dd>
        <dt>Far end</dt><dd>{run.FarEndElementId}: expected {Spare(run.Expected.FarEndExtraW)}, guaranteed {Spare(run.Guaranteed.FarEndExtraW)}</dd>
        <dt>Binds, expected</dt><dd>{run.Expected.Binding.Sentence}</dd>
        <dt>Binds, guaranteed</dt><dd>{run.Guaranteed.Binding.Sentence}</dd>
        </dl>
        {ChainDrawing.Of(run)}
        {Chain(run)}
        <p><b>Expected:</b> {Close(run.Expected)}</p>
        <p><b>Guaranteed:</b> {Close(run.Guaranteed)}</p>
        {Cases(run)}
        {BothModes(run, sources)}
        </section>

        """);

    private static Html Chain(ReportCableRun run) => HtmlTable.Of(
        "Volts, amperes, watts and loss at each point",
        ["Point", "Segment before it", "By", "#Loop ohm", "#V", "#A", "#W", "#Loss W"],
        run.Places.SelectMany(place => (Html[][])
        [
            [Cell(place.ElementId), Cell($"from {place.Segment.From}"), Cell("expected"), .. Figures(place.Segment.ExpectedLoopOhm, place.Expected)],
            [Cell(place.Name == place.ElementId ? "" : place.Name), Cell(Cable(place.Segment)), Cell("guaranteed"), .. Figures(place.Segment.GuaranteedLoopOhm, place.Guaranteed)],
        ]).Prepend([Cell(""), Cell(""), Cell("guaranteed"), .. AtSource(run.Source.GuaranteedV, run.Places[0].Guaranteed, run.Guaranteed)])
        .Prepend([Cell(run.Source.ElementId), Cell("source"), Cell("expected"), .. AtSource(run.Source.ExpectedV, run.Places[0].Expected, run.Expected)]));

    private static Html[] AtSource(double volts, PlaceFigures? first, RunFigures figures) =>
        [Cell(""), Cell(Number(volts, "0.00")), Cell(first is null ? "" : Number(first.InputA, "0.0000")), Cell(first is null ? "" : Watts(figures.Balance?.SourceW)), Cell("")];

    private static Html[] Figures(double ohms, PlaceFigures? figures) => figures is null
        ? [Cell(Number(ohms, "0.000")), Cell("not fed"), Cell(""), Cell(""), Cell("")]
        : [Cell(Number(ohms, "0.000")), Cell(Number(figures.InputV, "0.00")), Cell(Number(figures.InputA, "0.0000")), Cell(Watts(figures.InputW)), Cell(Watts(figures.SegmentLossW))];

    private static string Close(RunFigures figures) => figures.Balance is { } balance ? Balance(balance) + "." : figures.Reason;

    private static Html Cases(ReportCableRun run) => HtmlTable.Of(
        "Load cases",
        ["Load case", "#Devices W", "#At PSE, exp. W", "#Cable W", "#Left W", "#At PSE, gua. W", "#Cable W", "#Left W"],
        run.LoadCases.Select(c => (Html[])
        [
            Marked(c.Name, c.LoadCaseId == run.WorstLoadCaseId, "worst"), Cell(Watts(c.DemandAtPdW)), .. CaseCells(c.Expected), .. CaseCells(c.Guaranteed),
        ]));

    private static Html[] CaseCells(CaseFigures figures) =>
        [Cell(figures.DemandAtPseW is { } watts ? Watts(watts) : "not fed"), Cell(Watts(figures.CableLossW)), Cell(Watts(figures.FarEndExtraW))];

    /// <summary>One row for a limit in both modes: the sentence has the guaranteed figures.</summary>
    private static Html BothModes(ReportCableRun run, SourceMarks sources)
    {
        var expected = run.Expected.Limits.ToDictionary(limit => limit.Key, StringComparer.Ordinal);
        var guaranteed = run.Guaranteed.Limits.Select(limit => limit.Key).ToHashSet(StringComparer.Ordinal);
        var rows = run.Guaranteed.Limits.Select(limit => (Html[])
        [
            Taken(limit), Taken(expected.GetValueOrDefault(limit.Key)), Cell(limit.Sentence), Left(expected.GetValueOrDefault(limit.Key)), Cell(sources.Of(limit)),
        ]);
        var onlyExpected = run.Expected.Limits.Where(limit => !guaranteed.Contains(limit.Key))
            .Select(limit => (Html[])[Cell(""), Taken(limit), Cell(limit.Sentence), Left(limit), Cell(sources.Of(limit))]);
        return HtmlTable.Of(
            "Limits, the binding one first", ["#Taken gua.", "#Taken exp.", "What it says, by the guaranteed figures", "#Left exp.", "Source"], rows.Concat(onlyExpected));
    }

    internal static Html Limits(string caption, IEnumerable<ReportLimit> limits, SourceMarks sources) => HtmlTable.Of(
        caption,
        ["#Taken", "What it says", "Source"],
        limits.Select(limit => (Html[])[Taken(limit), Cell(limit.Sentence), Cell(sources.Of(limit))]));

    private static Html Taken(ReportLimit? limit) => limit switch
    {
        null => Cell("–"),
        { IsBroken: true } => Html.Of($"<span class=\"mark\">{ReportWords.Taken(limit)}</span>"),
        _ => Cell(ReportWords.Taken(limit)),
    };

    private static Html Left(ReportLimit? limit) => Cell(limit is null ? "–" : $"{Number(limit.Margin, "0.00")} {limit.Unit}");
}
