using static PoeWatch.Domain.DesignReports.ReportWords;

namespace PoeWatch.Domain.DesignReports.Texts;

/// <summary>A report as text for a terminal or a mail: lines of at most 100 characters. Pure.</summary>
public static class DesignReportText
{
    private const int PlacesMax = 8;

    private static readonly TextColumn[] s_cases =
        [new("Load case", 34), new("May come", 24), new("Devices W", 9, true), new("At PSEs W", 9, true), new("Guarant. W", 10, true), new("On way W", 8, true)];

    private static readonly TextColumn[] s_runs =
        [new("Run", 20), new("Poles", 21), new("Expected W", 10, true), new("Guarant. W", 10, true), new("What binds first, guaranteed", 34)];

    private static readonly TextColumn[] s_poles = [new("Pole", 24), new("Runs", 26), new("Demand W", 9, true), new("Worst load case", 36)];

    /// <summary>Piece by piece, so that a large site need not stand in memory as one text.</summary>
    public static IEnumerable<string> Pieces(DesignReport report)
    {
        ArgumentNullException.ThrowIfNull(report);
        var sources = new SourceMarks(report);
        yield return Head(report);
        foreach (var pse in report.Switches)
        {
            yield return SwitchText.Of(pse, sources);
        }

        if (!report.UpsUnits.IsEmpty)
        {
            yield return report.UpsUnits.Aggregate(new TextSheet().Heading("UPS", '='), (sheet, ups) => sheet.Paragraph($"{ups.UpsId}: {Lasts(ups)}", 2, "- ")).ToString();
        }

        if (!report.Poles.IsEmpty)
        {
            yield return new TextSheet().Heading("POLES: what stands on them takes at its inputs", '=')
                .Table(s_poles, report.Poles.Select(pole => new[] { pole.Name, string.Join(", ", pole.CableRunIds), Watts(pole.LoadCases.Max(c => c.DemandW)), Worst(pole.LoadCases, pole.WorstLoadCaseId) }))
                .ToString();
        }

        foreach (var run in report.CableRuns)
        {
            yield return CableRunText.Of(run, sources);
        }

        yield return Tail(report, sources);
    }

    /// <summary>The whole report.</summary>
    public static string Write(DesignReport report) => string.Concat(Pieces(report));

    private static string Head(DesignReport report)
    {
        var totals = report.Totals;
        var sheet = new TextSheet()
            .Paragraph($"DESIGN REPORT  {report.SiteName}")
            .Paragraph(new string('=', TextSheet.Width))
            .Paragraph($"Made {Date(report.MadeAt)} by PoeWatch {report.SoftwareVersion}")
            .Paragraph($"Design {report.DesignHash}")
            .Paragraph($"{Count(totals.SwitchCount, "switch", "switches")}, {Count(totals.PoleCount, "pole", "poles")}, {Count(totals.CableRunCount, "run", "runs")}, {Count(totals.DeviceCount, "device", "devices")}, {Plain(totals.CableM)} m of cable in {Count(totals.SegmentCount, "segment", "segments")}")
            .Paragraph(Verdict(totals));
        if (report.OnlyCableRunId is { } only)
        {
            sheet.Paragraph($"Run {only} and its group only; totals and warnings are of the whole site.");
        }

        sheet.Heading($"Site by load case (worst: {totals.WorstLoadCaseId})", '-');
        sheet.Table(s_cases, totals.LoadCases.Select(c => new[]
        {
            $"{c.Name}{(c.LoadCaseId == totals.WorstLoadCaseId ? " (worst)" : "")}", c.When, Watts(c.DemandAtPdW), Watts(c.ExpectedDemandAtPseW), Watts(c.GuaranteedDemandAtPseW), Watts(c.ExpectedOnTheWayW),
        }));
        sheet.Heading($"Warnings ({report.Warnings.Length})", '-');
        foreach (var (warning, at) in report.Warnings.Select((warning, at) => (warning, at + 1)))
        {
            sheet.Paragraph($"{warning.Code}: {Places(warning)}", 4, $"{at,3} ");
            sheet.Paragraph($"{warning.Message} {warning.Remedy}", 8);
        }

        sheet.Heading("Runs: extra watts at the far end in the worst load case", '-');
        sheet.Table(s_runs, report.CableRuns.Select(run => new[]
        {
            run.CableRunId, string.Join(", ", run.PoleNames), Watts(run.Expected.FarEndExtraW), Watts(run.Guaranteed.FarEndExtraW), run.Guaranteed.Binding.Sentence,
        }));
        return sheet.ToString();
    }

    private static string Places(ReportWarning warning) => warning.Elements.Length <= PlacesMax
        ? string.Join(", ", warning.Elements)
        : $"{string.Join(", ", warning.Elements.Take(PlacesMax))} and {warning.Elements.Length - PlacesMax} more";

    private static string Tail(DesignReport report, SourceMarks sources)
    {
        var sheet = new TextSheet().Heading("What the figures rest on", '-');
        foreach (var assumption in report.Assumptions)
        {
            sheet.Paragraph($"{assumption.Topic}: {assumption.Text}", 2, "- ");
        }

        sheet.Heading("Where the limits come from", '-');
        foreach (var (name, source) in sources.All)
        {
            sheet.Paragraph(source, 6, $"{name,5} ");
        }

        sheet.Heading("Cautions", '-');
        foreach (var caution in report.Cautions)
        {
            sheet.Paragraph(caution, 2, "! ");
        }

        return sheet.Gap().Paragraph($"End of the design report of {report.SiteName}, design {ShortHash(report)}.").ToString();
    }
}
