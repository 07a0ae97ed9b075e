using PoeWatch.Domain.Quantities;
using PoeWatch.Domain.Readings;

namespace PoeWatch.Domain.Rollups;

/// <summary>
/// One interval [Start, End) of a port or of a sum of ports: what is known of its draw. A ceiling enters no minimum, mean, maximum, percentile or
/// energy, and time in which nothing is known enters none of them either. Immutable.
/// </summary>
/// <param name="Min">Smallest draw that held, at the PSE; null where no draw was known.</param>
/// <param name="Max">Largest draw that held.</param>
/// <param name="Percentile95">Smallest draw that the draw was at or below for 95 % of the time known; null also where it cannot be told from what is kept.</param>
/// <param name="EnergyWattHours">Over the time that draws cover and over no other.</param>
/// <param name="Ceiling">Largest ceiling that held; null where none did.</param>
/// <param name="Known">How long draws and ceilings were known.</param>
public sealed record DrawRollup(
    DateTimeOffset Start, DateTimeOffset End, Power? Min, Power? Max, Power? Percentile95, double EnergyWattHours, Power? Ceiling, KnownTime Known)
{
    /// <summary>Energy of all ports of a sum, each over the time that itself is known: at least so much. Of a single port its own energy.</summary>
    public double PartsEnergyWattHours { get; init; } = EnergyWattHours;

    /// <summary>Share of the time of all ports of a sum in which their draws are known, 0..1. Of a single port its own coverage.</summary>
    public double PartsCoverage { get; init; } = ShareOf(Known.OfDraws, Start, End);

    public TimeSpan Length => End - Start;

    /// <summary>Mean over the time that draws cover, weighted by time.</summary>
    public Power? Mean => Known.OfDraws > TimeSpan.Zero ? Power.FromWatts(EnergyWattHours / Known.OfDraws.TotalHours) : null;

    /// <summary>Share of the interval that draws cover, 0..1. Of a sum: in which the draws of all its ports are known.</summary>
    public double Coverage => ShareOf(Known.OfDraws, Start, End);

    /// <summary>Share of the interval in which only a ceiling was known, 0..1.</summary>
    public double CeilingCoverage => ShareOf(Known.OfCeilings, Start, End);

    /// <summary>The weakest that entered the draws; where there are none that of the ceilings; unknown in a gap.</summary>
    public Provenance Provenance => Known.Weakest;

    /// <summary>True where nothing at all is known of the interval.</summary>
    public bool IsGap => Known == default;

    /// <summary>An interval of which nothing is known.</summary>
    public static DrawRollup Nothing(DateTimeOffset start, DateTimeOffset end) => new(start, end, null, null, null, 0, null, default);

    /// <summary>
    /// Several intervals of one place as the one [start, end) that holds them. Intervals that are not there count as unknown. The percentile cannot be told
    /// from percentiles: it stays null, save where there is one interval.
    /// </summary>
    public static DrawRollup Merge(IReadOnlyCollection<DrawRollup> parts, DateTimeOffset start, DateTimeOffset end)
    {
        if (parts.Count == 1 && parts.First() is var only && only.Start == start && only.End == end)
        {
            return only;
        }

        var (known, energy, partsEnergy, partsHours) = (default(KnownTime), 0.0, 0.0, 0.0);
        Power? min = null, max = null, ceiling = null;
        foreach (var part in parts)
        {
            known += part.Known;
            energy += part.EnergyWattHours;
            partsEnergy += part.PartsEnergyWattHours;
            partsHours += part.PartsCoverage * part.Length.TotalHours;
            min = min is { } least && part.Min is { } low ? Power.Min(least, low) : min ?? part.Min;
            max = max is { } most && part.Max is { } high ? Power.Max(most, high) : max ?? part.Max;
            ceiling = ceiling is { } top && part.Ceiling is { } other ? Power.Max(top, other) : ceiling ?? part.Ceiling;
        }

        return new DrawRollup(start, end, min, max, null, energy, ceiling, known)
        {
            PartsEnergyWattHours = partsEnergy,
            PartsCoverage = partsHours / (end - start).TotalHours,
        };
    }

    /// <summary>The same sum with what is known of its parts, each given over the same interval.</summary>
    public DrawRollup WithParts(IReadOnlyCollection<DrawRollup> parts) => parts.Count == 0 ? this : this with
    {
        PartsEnergyWattHours = parts.Sum(p => p.PartsEnergyWattHours),
        PartsCoverage = parts.Average(p => p.PartsCoverage),
    };

    // Ticks, not seconds: an interval that is covered whole has a coverage of exactly 1.
    private static double ShareOf(TimeSpan part, DateTimeOffset start, DateTimeOffset end) => (double)part.Ticks / (end - start).Ticks;
}
