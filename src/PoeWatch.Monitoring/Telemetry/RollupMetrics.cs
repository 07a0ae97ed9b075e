using System.Diagnostics.Metrics;

namespace PoeWatch.Monitoring.Telemetry;

/// <summary>Figures of rolling up the history: listed in docs/metrics.md. Thread safe.</summary>
public sealed class RollupMetrics
{
    /// <summary>Name of the meter.</summary>
    public const string MeterName = "PoeWatch.Rollups";

    private readonly Meter _meter;
    private readonly Histogram<double> _duration;
    private readonly Counter<long> _again;
    private readonly Counter<long> _failed;

    public RollupMetrics(IMeterFactory meters)
    {
        _meter = meters.Create(MeterName);
        _duration = _meter.CreateHistogram<double>("poewatch.rollup.duration", "s", "Time to roll up one window of the whole site, rests included.");
        _again = _meter.CreateCounter<long>("poewatch.rollup.again", "{element}", "Elements rolled up again because readings came late.");
        _failed = _meter.CreateCounter<long>("poewatch.rollup.failed", "{try}", "Tries to roll up that failed.");
    }

    /// <summary>Takes how far behind the rollups are.</summary>
    public void Observe(Func<double> behindSeconds) =>
        _meter.CreateObservableGauge("poewatch.rollup.behind", behindSeconds, "s", "How far rollups are behind what they could be.");

    /// <summary>Counts a window.</summary>
    public void Rolled(bool isDay, TimeSpan duration) =>
        _duration.Record(duration.TotalSeconds, new KeyValuePair<string, object?>("window", isDay ? "day" : "hour"));

    public void Again(int elements) => _again.Add(elements);

    public void Failed() => _failed.Add(1);
}
