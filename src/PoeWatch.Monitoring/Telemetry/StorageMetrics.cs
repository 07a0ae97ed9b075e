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
        _meter.CreateObservableGauge("poewatch.history.waiting", waiting, "{poll}", "Finished polls that wait to be kept.");
        _meter.CreateObservableCounter("poewatch.history.dropped", dropped, "{poll}", "Finished polls dropped because too many waited.");
    }

    /// <summary>Takes where the spool keeps its counts.</summary>
    public void ObserveSpool(Func<long> polls, Func<long> bytes, Func<long> damaged)
    {
        _meter.CreateObservableGauge("poewatch.spool.polls", polls, "{poll}", "Polls kept on the local disk that are not in the store yet.");
        _meter.CreateObservableGauge("poewatch.spool.size", bytes, "By", "Size of the spool's files.");
        _meter.CreateObservableCounter("poewatch.spool.damaged", damaged, "{frame}", "Frames of the spool that were found damaged: their polls are lost.");
    }

    /// <summary>Counts a batch that was kept, in the store or in the spool.</summary>
    public void Kept(int polls, int ports)
    {
        _polls.Add(polls);
        _ports.Add(ports);
    }

    /// <summary>Notes how long the store took for a write.</summary>
    public void Wrote(TimeSpan duration) => _writeTime.Record(duration.TotalSeconds);
}
