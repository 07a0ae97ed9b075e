using System.Collections.Immutable;
using static PoeWatch.Domain.DesignReports.ReportWarnings;

namespace PoeWatch.Domain.DesignReports;

/// <summary>Cables that deserve a second look.</summary>
internal static class CableWarnings
{
    // The permanent part of a channel; the rest is for cords (ISO/IEC 11801 and ANSI/TIA-568).
    private const double PermanentMeters = 90.0;
    private const int ThinAwg = 26;

    internal static IEnumerable<ReportWarning> Of(ImmutableArray<ReportCableRun> runs)
    {
        ImmutableArray<ReportSegment> segments = [.. runs.SelectMany(run => run.Places).Select(place => place.Segment)];
        return
        [
            .. Where(
                "copper-clad-aluminium",
                segments.Where(s => s.Material != "copper").Select(s => s.SegmentId),
                "Copper-clad aluminium meets no cabling category: its loop is up to 60 % higher, it runs hotter and breaks sooner at terminations.",
                "Replace it with solid copper; until then measure its loop."),
            .. Where(
                "segment-near-limit",
                segments.Where(s => s.LengthM > PermanentMeters && s.LengthM + s.CordsM <= 100.0).Select(s => s.SegmentId),
                "The segment is longer than 90 m: a channel of 100 m leaves 10 m for the cords at both ends (ISO/IEC 11801, ANSI/TIA-568).",
                "Measure the length with its cords; plan an extender or a pass-through switch where it comes out longer."),
            .. Where(
                "segment-too-long",
                segments.Where(s => s.LengthM + s.CordsM > 100.0).Select(s => s.SegmentId),
                "The segment is longer than the 100 m of a channel (ISO/IEC 11801, ANSI/TIA-568): neither data nor power is promised.",
                "Divide it by an extender or a pass-through switch."),
            .. Where(
                "thin-conductor",
                segments.Where(s => s.GaugeAwg >= ThinAwg).Select(s => s.SegmentId),
                "26 AWG is the gauge of cords: 100 m of it exceed the loop that the standard allows a channel.",
                "Use 24 AWG or thicker for anything but cords."),
        ];
    }
}
