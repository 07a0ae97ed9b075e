using static PoeWatch.Domain.DesignReports.ReportWords;

namespace PoeWatch.Domain.DesignReports.Pages;

/// <summary>
/// A run drawn as a tree: one box a place with volts, amperes and watts, indented below what feeds it, the segment beside its line. Shapes tell the kinds
/// apart: bold frame a source, double frame a pass-through switch, dashed frame an extender, round corners a device.
/// </summary>
internal static class ChainDrawing
{
    private const double Width = 720;
    private const double Indent = 30;
    private const double BoxHeight = 40;
    private const double Gap = 20;
    private const int DepthMax = 9;

    internal static Html Of(ReportCableRun run)
    {
        var tops = run.Places.Select((place, at) => (place.ElementId, Top: Top(at + 1))).ToDictionary(p => p.ElementId, p => p.Top, StringComparer.Ordinal);
        var depths = run.Places.ToDictionary(place => place.ElementId, place => Depth(place), StringComparer.Ordinal);
        var wires = run.Places.Select(place => place.FedBy is { } parent
            ? Wire(depths[parent], tops[parent], depths[place.ElementId], tops[place.ElementId])
            : Wire(0, Top(0), 1, tops[place.ElementId]));
        var height = Top(run.Places.Length) + BoxHeight + 4;
        return Html.Of($"""
            <svg viewBox="0 0 {Width} {height}" role="img" aria-label="{$"The chain of run {run.CableRunId}"}" xmlns="http://www.w3.org/2000/svg">
            {Html.Join(wires)}{SourceBox(run)}{Html.Join(run.Places.Select(place => PlaceBox(place, tops[place.ElementId])))}</svg>

            """);
    }

    private static int Depth(ReportPlace place) => Math.Min(DepthMax, place.DepthNumber + 1);

    private static double Top(int row) => 2 + (row * (BoxHeight + Gap));

    private static Html Wire(int parentDepth, double parentTop, int depth, double top) => Html.Of(
        $"<path class=\"wire\" d=\"M {(parentDepth * Indent) + 13} {parentTop + BoxHeight} V {top + (BoxHeight / 2)} H {(depth * Indent) + 2}\"/>\n");

    private static Html SourceBox(ReportCableRun run)
    {
        var (expected, guaranteed) = (run.Places[0].Expected, run.Places[0].Guaranteed);
        return Html.Join([
            Frame(0, Top(0), "box source", 0),
            Words(0, Top(0), $"{run.Source.ElementId} {Named(run.Source.ElementId, run.Source.Name)}", Source(run.Source)),
            Figures(Top(0), 16, "expected", expected is null ? null : (run.Source.ExpectedV, expected.InputA, run.Expected.Balance!.SourceW)),
            Figures(Top(0), 32, "guaranteed", guaranteed is null ? null : (run.Source.GuaranteedV, guaranteed.InputA, run.Guaranteed.Balance!.SourceW)),
        ]);
    }

    private static Html PlaceBox(ReportPlace place, double top)
    {
        var depth = Depth(place);
        var frame = place.Kind switch
        {
            "device" => Frame(depth, top, "box", 10),
            "extender" => Frame(depth, top, "box extender", 0),
            _ => Html.Join([
                Frame(depth, top, "box", 0),
                Html.Of($"<rect class=\"inner\" x=\"{(depth * Indent) + 5}\" y=\"{top + 3}\" width=\"{Width - (depth * Indent) - 8}\" height=\"{BoxHeight - 6}\"/>\n"),
            ]),
        };
        return Html.Join([
            Html.Of($"<text class=\"about\" x=\"{(depth * Indent) + 3}\" y=\"{top - 5}\">{Cut(Segment(place), (Width - (depth * Indent)) / 4.7)}</text>\n"),
            frame,
            Words(depth, top, $"{place.ElementId} {Named(place.ElementId, place.Name)}", $"{Kind(place)}{(place.PoleName is { } pole ? $"; at {pole}" : "")}"),
            Figures(top, 16, "expected", Of(place.Expected)),
            Figures(top, 32, "guaranteed", Of(place.Guaranteed)),
        ]);
    }

    private static (double V, double A, double W)? Of(PlaceFigures? figures) => figures is null ? null : (figures.InputV, figures.InputA, figures.InputW);

    private static string Named(string id, string name) => name == id ? "" : $"({name})";

    private static string Segment(ReportPlace place) => place is { Expected: { } expected, Guaranteed: { } guaranteed }
        ? $"{Cable(place.Segment)}; loss {Watts(expected.SegmentLossW)} W expected, {Watts(guaranteed.SegmentLossW)} W guaranteed"
        : $"{Cable(place.Segment)}; {Number(place.Segment.ExpectedLoopOhm, "0.000")} ohm expected, {Number(place.Segment.GuaranteedLoopOhm, "0.000")} ohm guaranteed";

    private static Html Frame(int depth, double top, string kind, double round) => Html.Of(
        $"<rect class=\"{kind}\" x=\"{(depth * Indent) + 2}\" y=\"{top}\" width=\"{Width - (depth * Indent) - 4}\" height=\"{BoxHeight}\" rx=\"{round}\"/>\n");

    private static Html Words(int depth, double top, string name, string about)
    {
        var (x, room) = ((depth * Indent) + 12, 455 - (depth * Indent));
        return Html.Of($"<text class=\"name\" x=\"{x}\" y=\"{top + 16}\">{Cut(name.TrimEnd(), room / 6.6)}</text><text class=\"about\" x=\"{x}\" y=\"{top + 32}\">{Cut(about, room / 4.9)}</text>\n");
    }

    private static Html Figures(double top, double down, string mode, (double V, double A, double W)? figures) => figures is { } known
        ? Html.Of($"""
            <text class="about" x="476" y="{top + down}">{mode}</text><text class="figure" x="588" y="{top + down}" text-anchor="end">{Number(known.V, "0.00")} V</text><text class="figure" x="646" y="{top + down}" text-anchor="end">{Number(known.A, "0.000")} A</text><text class="figure" x="708" y="{top + down}" text-anchor="end">{Watts(known.W)} W</text>

            """)
        : Html.Of($"<text class=\"about\" x=\"476\" y=\"{top + down}\">{mode}</text><text class=\"figure\" x=\"708\" y=\"{top + down}\" text-anchor=\"end\">{CannotBeFed}</text>\n");

    private static string Cut(string words, double lettersMax) =>
        words.Length <= lettersMax ? words : $"{words[..Math.Max(1, (int)lettersMax - 1)].TrimEnd()}…";
}
