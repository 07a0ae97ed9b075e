using System.Globalization;
using PoeWatch.Domain.EnergyBalance;

namespace PoeWatch.Api.Contracts;

/// <summary>What the meters at both ends of a segment tell of its copper, reckoned once a day from the last seven whole days.</summary>
/// <param name="FedByRef">PSE port that meters what goes in.</param>
/// <param name="FarId">Pass-through switch that meters what comes out.</param>
/// <param name="LoopOhm">Over the powered pairs, as warm as the copper was; null where it is not known yet.</param>
/// <param name="LeastOhm">Lower end of its interval of 90 %; null where it is not known yet.</param>
/// <param name="MostOhm">Upper end of that.</param>
/// <param name="UnknownBecause">Why no loop is told; empty where one is.</param>
/// <param name="DayCount">Whole days that it rests on, 0 to 7.</param>
/// <param name="DesignedOhm">Loop over the powered pairs by the design.</param>
/// <param name="IsDesignMeasured">True where that is a tester's figure, false where it is reckoned from gauge and length.</param>
/// <param name="EarlierLoopOhm">From the oldest seven days that are remembered; null where none is known.</param>
/// <param name="EarlierFrom">First day of those, UTC; null where there are none.</param>
/// <param name="EarlierTo">Last day of those, UTC.</param>
/// <param name="ShiftOhm">By how much it grew since those days, which may be known where the loop is not; null where it is not known.</param>
/// <param name="ShiftLeastOhm">Lower end of its interval of 90 %.</param>
/// <param name="ShiftMostOhm">Upper end of that.</param>
/// <param name="SurelyGrownPercent">What is surely above sound, see the alarm cable-resistance-grown; negative where nothing is, null where neither loop nor shift is known.</param>
/// <param name="Provenance">derived where a loop is told, else unknown.</param>
public sealed record LoopContract(
    string SegmentId,
    string CableRunId,
    string FedByRef,
    string FarId,
    double? LoopOhm,
    double? LeastOhm,
    double? MostOhm,
    string UnknownBecause,
    int DayCount,
    double DesignedOhm,
    bool IsDesignMeasured,
    double? EarlierLoopOhm,
    string? EarlierFrom,
    string? EarlierTo,
    double? ShiftOhm,
    double? ShiftLeastOhm,
    double? ShiftMostOhm,
    double? SurelyGrownPercent,
    string Provenance,
    DateTimeOffset At)
{
    internal static LoopContract Of(SegmentBalance balance)
    {
        var (loop, half) = (balance.Loop?.Ohms, balance.Now?.HalfWidth?.Ohms);
        return new(
            balance.Segment.Segment.Id,
            balance.Segment.CableRunId,
            balance.Segment.FedBy.ToString(),
            balance.Segment.FarId,
            Rounded(loop),
            Rounded(loop - half),
            Rounded(loop + half),
            balance.WhyUnknown,
            balance.Days,
            Math.Round(balance.Segment.Designed.Ohms, 3),
            balance.Segment.IsDesignMeasured,
            Rounded(balance.Earlier?.Loop?.Ohms),
            Day(balance.EarlierFrom),
            Day(balance.EarlierTo),
            Rounded(balance.Shift?.Ohms.Ohms),
            Rounded((balance.Shift?.Ohms - balance.Shift?.HalfWidth)?.Ohms),
            Rounded((balance.Shift?.Ohms + balance.Shift?.HalfWidth)?.Ohms),
            balance.SurelyGrown is { } grown ? Math.Round(grown.Percent, 1) : null,
            loop is null ? "unknown" : "derived",
            balance.At);
    }

    private static double? Rounded(double? ohms) => ohms is { } known ? Math.Round(known, 3) : null;

    private static string? Day(DateOnly? day) => day?.ToString("yyyy-MM-dd", CultureInfo.InvariantCulture);
}
