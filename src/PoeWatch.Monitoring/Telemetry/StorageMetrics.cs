using System.Diagnostics;
using System.Diagnostics.Metrics;

namespace PoeWatch.Monitoring.Telemetry;

/// <summary>Figures of keeping readings: listed in docs/metrics.md. Thread safe.</summary>
public sealed class StorageMetrics
{
    /// <summary>Name of the meter.</summary>
    public const string MeterName = "PoeWatch.Storage";

    private readonly Meter _meter;
    private readonly Counter<long> _polls;
    private readonly Counter<long> _ports;
    private readonly Histogram<double> _writeTime;

    public StorageMetrics(IMeterFactory meters)
    {
        _meter = meters.Create(MeterName);
        _polls = _meter.CreateCounter<long>("poewatch.history.polls_stored", "{poll}", "Finished polls that are kept.");
        _ports = _meter.CreateCounter<long>("poewatch.history.readings_stored", "{reading}", "Port readings that are kept.");
        _writeTime = _meter.CreateHistogram<double>("poewatch.history.write_duration", "s", "Time of one write until it is synced.");
    }

    /// <summary>Traces of writes.</summary>
    public static ActivitySource Activities { get; } = new(MeterName);

    /// <summary>Takes where the keeper keeps its counts.</summary>
    public void Observe(Func<int> waiting, Func<long> dropped)
    {
        _meter.CreateObservableGauge("poewatch.history.waiting", waiting, "{poll}", "Finished polls that wait for the store.");
        _meter.CreateObservableCounter("poewatch.history.dropped", dropped, "{poll}", "Finished polls dropped because too many waited.");
    }

    /// <summary>Counts a batch that was kept.</summary>
    public void Written(int polls, int ports, TimeSpan duration)
    {
        _polls.Add(polls);
        _ports.Add(ports);
        _writeTime.Record(duration.TotalSeconds);
    }
}
