using PoeWatch.Domain.Assessment;
using PoeWatch.Domain.Readings;
using PoeWatch.Domain.Rollups;

namespace PoeWatch.Monitoring.Rollups;

/// <summary>Cuts the draw of one place into intervals of several steps at once. Not thread safe.</summary>
internal sealed class PlaceCutters
{
    private readonly RollupWindow _window;
    private readonly RollupCutter[] _cutters;
    private readonly DrawHistogram? _histogram;

    /// <param name="withHistogram">True for ports: how long the draw was how large, of a day.</param>
    public PlaceCutters(RollupWindow window, bool withHistogram)
    {
        _window = window;
        _cutters = [.. window.Bounds.Select(b => new RollupCutter(b))];
        _histogram = withHistogram && window.HasDays ? new DrawHistogram() : null;
    }

    public void Add(DateTimeOffset start, DateTimeOffset end, KnownPower power)
    {
        foreach (RollupCutter cutter in _cutters)
        {
            cutter.Add(start, end, power);
        }

        if (_histogram is not null && power.Provenance.IsDraw() && power.Watts is { } watts)
        {
            _histogram.Add(DrawHistogram.BinOf(watts.Milliwatts), Min(end, _window.End) - Max(start, _window.Start));
        }
    }

    /// <summary>The intervals of each step, in the order of the window's steps.</summary>
    public PlaceRollups Finish() => new([.. _cutters.Select(c => c.Finish())], _histogram);

    private static DateTimeOffset Min(DateTimeOffset a, DateTimeOffset b) => a < b ? a : b;

    private static DateTimeOffset Max(DateTimeOffset a, DateTimeOffset b) => a > b ? a : b;
}

/// <summary>What came of one place: intervals by step, and the histogram of a port's day.</summary>
internal sealed record PlaceRollups(IReadOnlyList<DrawRollup>[] BySteps, DrawHistogram? Histogram)
{
    /// <summary>The same sum with what is known of its parts.</summary>
    public PlaceRollups WithParts(IReadOnlyCollection<PlaceRollups> parts) => this with
    {
        BySteps = [.. BySteps.Select((intervals, step) => (IReadOnlyList<DrawRollup>)
            [.. intervals.Select((interval, i) => interval.WithParts([.. parts.Select(p => p.BySteps[step][i])]))])],
    };
}

/// <summary>A stretch of time that is rolled up in one go: a day of the site or a part of one, into intervals of some steps.</summary>
public sealed record RollupWindow(DateTimeOffset Start, DateTimeOffset End, IReadOnlyList<RollupStep> Steps)
{
    /// <summary>Bounds of the intervals of each step.</summary>
    public IReadOnlyList<DateTimeOffset[]> Bounds { get; private init; } = [.. Steps.Select(s => s.Bounds(Start, End))];

    public bool HasDays => Steps.Contains(RollupStep.Day);

    /// <summary>Any intervals, of no step that is stored.</summary>
    public static RollupWindow OfBounds(DateTimeOffset[] bounds) => new(bounds[0], bounds[^1], []) { Bounds = [bounds] };

    /// <summary>A whole day: all steps.</summary>
    public static RollupWindow OfDay(DateTimeOffset start, DateTimeOffset end) => new(start, end, [RollupStep.QuarterHour, RollupStep.Hour, RollupStep.Day]);

    /// <summary>A part of a day that is not over.</summary>
    public static RollupWindow OfHours(DateTimeOffset start, DateTimeOffset end) => new(start, end, [RollupStep.QuarterHour, RollupStep.Hour]);
}
