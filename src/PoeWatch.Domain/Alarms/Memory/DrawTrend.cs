namespace PoeWatch.Domain.Alarms.Memory;

/// <summary>The trend of a port's base draw over the last four weeks. Pure.</summary>
/// <param name="Line">Watts a day, with its 99 % interval.</param>
/// <param name="Days">How many whole days it rests on.</param>
/// <param name="FromWatts">Middle base of the first week of them.</param>
/// <param name="ToWatts">Middle base of the last week of them.</param>
public sealed record DrawTrend(TrendLine Line, int Days, double FromWatts, double ToWatts)
{
    public const int DaysMost = 28;
    public const int DaysLeast = 14;
    private const int Week = 7;

    // A rise in four weeks of less than this is nobody's business: common practice, no source.
    private const double RiseLeastWatts = 1;
    private const double RiseLeastShare = 0.05;

    // One step in the middle gives a slope over the whole, but hardly one within each half.
    private const double HalfShareLeast = 0.25;

    /// <summary>Null where fewer than 14 of the last 28 days are whole, or the design asked for more in the later half: then the season rises, not a fault.</summary>
    public static DrawTrend? Of(IReadOnlyCollection<DayNote> days)
    {
        if (days.Count < DaysLeast)
        {
            return null;
        }

        var last = days.Last().Day;
        List<DayNote> window = [.. days.Where(d => d.IsWhole && last - d.Day < DaysMost)];
        return window.Count < DaysLeast ? null : Of(window, window.Count / 2);
    }

    /// <summary>True where the base surely rises, by enough, and in both halves.</summary>
    public bool IsCreep { get; private init; }

    private static DrawTrend? Of(List<DayNote> window, int half)
    {
        if (Most(window[half..]) > Most(window[..half]) + RiseLeastWatts || Mean(window[half..]) > Mean(window[..half]) + RiseLeastWatts || LineOf(window) is not { } line)
        {
            return null;
        }

        var (from, to) = (Middle(window[..Week]), Middle(window[^Week..]));
        var isEnough = line.Slope * DaysMost >= Math.Max(RiseLeastWatts, from * RiseLeastShare);
        var isInBoth = LineOf(window[..half])?.Slope >= line.Slope * HalfShareLeast && LineOf(window[half..])?.Slope >= line.Slope * HalfShareLeast;
        return new DrawTrend(line, window.Count, from, to) { IsCreep = line.SlopeLeast > 0 && isEnough && isInBoth };
    }

    private static TrendLine? LineOf(List<DayNote> days) => TrendLine.Of([.. days.Select(d => (double)d.Day)], [.. days.Select(d => (double)d.BaseWatts)]);

    /// <summary>NaN where nothing is known of it; a comparison with that is never true.</summary>
    private static double Most(List<DayNote> days) => days.Select(d => (double)d.DemandWatts).Where(w => !double.IsNaN(w)).DefaultIfEmpty(double.NaN).Max();

    // Heaters and lights that the season lets run longer raise the mean of the demand, though its most is the same on the first cold day.
    private static double Mean(List<DayNote> days) => days.Select(d => (double)d.MeanDemandWatts).Where(w => !double.IsNaN(w)).DefaultIfEmpty(double.NaN).Average();

    private static double Middle(List<DayNote> days)
    {
        List<float> sorted = [.. days.Select(d => d.BaseWatts).Order()];
        return sorted[sorted.Count / 2];
    }
}
