namespace PoeWatch.Domain.Alarms.Memory;

/// <summary>What is remembered of one port's draw on one whole day (UTC), from its quarter-hour means. Immutable.</summary>
/// <param name="Day">Days since 0001-01-01 UTC.</param>
/// <param name="LeastWatts">Smallest quarter-hour mean.</param>
/// <param name="BaseWatts">
/// The quarter-hour mean that a quarter of the day stays under: what flows while lights and heaters are off. Light at night moves it only where the night is
/// longer than three quarters of the day.
/// </param>
/// <param name="MostWatts">Largest quarter-hour mean.</param>
/// <param name="DemandWatts">Largest designed demand of the day; NaN where none is designed.</param>
/// <param name="Quarters">How many quarter-hours were covered, those in which the port was known to feed nothing among them, 0 to 96.</param>
public readonly record struct DayNote(int Day, float LeastWatts, float BaseWatts, float MostWatts, float DemandWatts, int Quarters)
{
    /// <summary>Three quarters of the day covered: with less a day says nothing.</summary>
    public bool IsWhole => Quarters >= 72;

    /// <summary>Smallest designed demand of the day; NaN where none is designed.</summary>
    public float LeastDemandWatts { get; init; } = float.NaN;

    /// <summary>Mean of the designed demand over the day; NaN where none is designed.</summary>
    public float MeanDemandWatts { get; init; } = float.NaN;

    /// <summary>With another part of the same day; base and mean demand are those of the larger part.</summary>
    internal DayNote With(DayNote other)
    {
        var larger = Quarters >= other.Quarters ? this : other;
        return new DayNote(
            Day, Math.Min(LeastWatts, other.LeastWatts), larger.BaseWatts, Math.Max(MostWatts, other.MostWatts), Known(DemandWatts, other.DemandWatts, Math.Max),
            Math.Min(Quarters + other.Quarters, 96))
        {
            LeastDemandWatts = Known(LeastDemandWatts, other.LeastDemandWatts, Math.Min),
            MeanDemandWatts = larger.MeanDemandWatts,
        };
    }

    private static float Known(float a, float b, Func<float, float, float> of) => float.IsNaN(a) ? b : float.IsNaN(b) ? a : of(a, b);
}
