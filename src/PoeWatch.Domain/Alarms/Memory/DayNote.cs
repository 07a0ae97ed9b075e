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
/// <param name="Quarters">How many quarter-hours were covered, 0 to 96.</param>
public readonly record struct DayNote(int Day, float LeastWatts, float BaseWatts, float MostWatts, float DemandWatts, int Quarters)
{
    /// <summary>Three quarters of the day covered: with less a day says nothing.</summary>
    public bool IsWhole => Quarters >= 72;

    /// <summary>With another part of the same day; the base is that of the larger part.</summary>
    internal DayNote With(DayNote other) => new(
        Day, Math.Min(LeastWatts, other.LeastWatts), Quarters >= other.Quarters ? BaseWatts : other.BaseWatts, Math.Max(MostWatts, other.MostWatts),
        float.IsNaN(DemandWatts) ? other.DemandWatts : float.IsNaN(other.DemandWatts) ? DemandWatts : Math.Max(DemandWatts, other.DemandWatts), Math.Min(Quarters + other.Quarters, 96));
}
