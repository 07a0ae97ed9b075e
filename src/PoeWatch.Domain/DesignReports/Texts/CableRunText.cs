using static PoeWatch.Domain.DesignReports.ReportWords;

namespace PoeWatch.Domain.DesignReports.Texts;

/// <summary>The sheet of one run as text.</summary>
internal static class CableRunText
{
    private static readonly TextColumn[] s_chain =
        [new("Place", 40), new("Mode", 10), new("Loop ohm", 8, true), new("V", 8, true), new("A", 8, true), new("W", 9, true), new("Cable W", 9, true)];

    private static readonly TextColumn[] s_cases =
    [
        new("Load case", 30), new("Devices W", 9, true), new("exp. PSE W", 10, true), new("loss W", 7, true), new("left W", 8, true), new("gua. PSE W", 10, true),
        new("loss W", 7, true), new("left W", 8, true),
    ];

    internal static string Of(ReportCableRun run, SourceMarks sources)
    {
        var sheet = new TextSheet()
            .Heading($"RUN {run.CableRunId}  {string.Join(", ", run.PoleNames)}", '=')
            .Paragraph($"{Source(run.Source)}: {run.Source.Name}")
            .Paragraph(Verdict(run))
            .Paragraph($"At the far end ({run.FarEndElementId}) expected {Spare(run.Expected.FarEndExtraW)}, guaranteed {Spare(run.Guaranteed.FarEndExtraW)}.")
            .Paragraph($"Binding, expected:   {run.Expected.Binding.Sentence}")
            .Paragraph($"Binding, guaranteed: {run.Guaranteed.Binding.Sentence}")
            .Gap()
            .Paragraph($"The chain in the worst load case, {run.WorstLoadCaseName}:")
            .Table(s_chain, Chain(run));
        Close(sheet, "Expected", run.Expected);
        Close(sheet, "Guaranteed", run.Guaranteed);
        sheet.Gap().Table(s_cases, run.LoadCases.Select(c => new[]
        {
            $"{c.Name}{(c.LoadCaseId == run.WorstLoadCaseId ? " (worst)" : "")}", Watts(c.DemandAtPdW),
            Fed(c.Expected.DemandAtPseW), Watts(c.Expected.CableLossW), Watts(c.Expected.FarEndExtraW),
            Fed(c.Guaranteed.DemandAtPseW), Watts(c.Guaranteed.CableLossW), Watts(c.Guaranteed.FarEndExtraW),
        }));
        Limits(sheet, "Limits, expected, the binding one first:", run.Expected, sources);
        Limits(sheet, "Limits, guaranteed, the binding one first:", run.Guaranteed, sources);
        return sheet.ToString();
    }

    private static IEnumerable<string[]> Chain(ReportCableRun run)
    {
        yield return ["source", "expected", "", Number(run.Source.ExpectedV, "0.00"), Amperes(run.Places[0].Expected), Watts(run.Expected.Balance?.SourceW), ""];
        yield return [run.Source.ElementId, "guaranteed", "", Number(run.Source.GuaranteedV, "0.00"), Amperes(run.Places[0].Guaranteed), Watts(run.Guaranteed.Balance?.SourceW), ""];
        foreach (var place in run.Places)
        {
            var indent = new string(' ', 2 * Math.Min(8, place.DepthNumber + 1));
            yield return Row($"{indent}{place.ElementId} ({Kind(place)})", "expected", place.Segment.ExpectedLoopOhm, place.Expected);
            yield return Row($"{indent}  from {place.Segment.From}: {Cable(place.Segment)}", "guaranteed", place.Segment.GuaranteedLoopOhm, place.Guaranteed);
        }
    }

    private static string[] Row(string place, string mode, double ohms, PlaceFigures? figures) => figures is null
        ? [place, mode, Number(ohms, "0.000"), "not fed", "", "", ""]
        : [place, mode, Number(ohms, "0.000"), Number(figures.InputV, "0.00"), Amperes(figures), Watts(figures.InputW), Watts(figures.SegmentLossW)];

    private static void Close(TextSheet sheet, string mode, RunFigures figures) =>
        sheet.Paragraph($"{mode}: {(figures.Balance is { } balance ? Balance(balance) : figures.Reason)}");

    private static void Limits(TextSheet sheet, string title, RunFigures figures, SourceMarks sources)
    {
        sheet.Gap().Paragraph(title);
        foreach (var limit in figures.Limits)
        {
            sheet.Paragraph($"{limit.Sentence} [{sources.Of(limit)}]", 9, $"{(limit.IsBroken ? Taken(limit).ToUpperInvariant() : Taken(limit)),8} ");
        }
    }

    private static string Amperes(PlaceFigures? figures) => figures is null ? "" : Number(figures.InputA, "0.0000");

    private static string Fed(double? watts) => watts is null ? "not fed" : Watts(watts);
}
