using PoeWatch.Domain.Evidence;
using PoeWatch.Domain.Quantities;
using PoeWatch.Domain.Rollups;

namespace PoeWatch.Evidence.Reports;

/// <summary>What a run comes to over a month. Not thread safe.</summary>
internal sealed class RunTally
{
    public double WattHours { get; private set; }

    public double CoveredSeconds { get; private set; }

    public double? PeakW { get; private set; }

    /// <summary>Begin of the quarter-hour of the peak.</summary>
    public DateTimeOffset? PeakAt { get; private set; }

    public void Add(DrawStep step) => Add(step.Start, step.EnergyWattHours, step.Coverage * (step.End - step.Start), step.Max);

    public void Add(DrawRollup interval) => Add(interval.Start, interval.EnergyWattHours, interval.Known.OfDraws, interval.Max);

    private void Add(DateTimeOffset start, double wattHours, TimeSpan covered, Power? max)
    {
        WattHours += wattHours;
        CoveredSeconds += covered.TotalSeconds;
        if (max is { } peak && !(PeakW >= peak.Watts))
        {
            (PeakW, PeakAt) = (peak.Watts, start);
        }
    }
}
