using System.Diagnostics;
using System.Diagnostics.Metrics;
using PoeWatch.Domain.Readings;

namespace PoeWatch.Monitoring.Telemetry;

/// <summary>Figures of polling: listed in docs/metrics.md. Thread safe.</summary>
public sealed class PollingMetrics
{
    /// <summary>Name of the meter.</summary>
    public const string MeterName = "PoeWatch.Polling";

    private readonly Meter _meter;
    private readonly Histogram<double> _duration;

    public PollingMetrics(IMeterFactory meters)
    {
        _meter = meters.Create(MeterName);
        _duration = _meter.CreateHistogram<double>("poewatch.poll.duration", "s", "Time of one poll from the first request to the last answer, by outcome.");
    }

    /// <summary>Traces of single polls.</summary>
    public static ActivitySource Activities { get; } = new(MeterName);

    /// <summary>Takes where the loop keeps its counts.</summary>
    public void Observe(Func<int> inFlight, Func<long> missedSlots, Func<TimeSpan> overdue, Func<int> cutOff)
    {
        _meter.CreateObservableGauge("poewatch.poll.in_flight", inFlight, "{poll}", "Polls in flight now.");
        _meter.CreateObservableCounter("poewatch.poll.missed_slots", missedSlots, "{poll}", "Slots that passed unpolled.");
        _meter.CreateObservableGauge("poewatch.poll.overdue", () => overdue().TotalSeconds, "s", "How long the agent that waits longest has been due.");
        _meter.CreateObservableGauge("poewatch.poll.cut_off", cutOff, "{agent}", "Silent agents behind a silent one, asked rarely.");
    }

    /// <summary>Counts a finished poll.</summary>
    public void Polled(PollOutcome outcome, TimeSpan duration) =>
        _duration.Record(duration.TotalSeconds, new KeyValuePair<string, object?>("outcome", OutcomeNames.Name(outcome)));
}
