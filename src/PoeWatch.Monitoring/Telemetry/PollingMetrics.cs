using System.Diagnostics;
using System.Diagnostics.Metrics;
using PoeWatch.Domain.Readings;
using PoeWatch.Domain.Readings.Changes;

namespace PoeWatch.Monitoring.Telemetry;

/// <summary>Figures of polling: listed in docs/metrics.md. Thread safe.</summary>
public sealed class PollingMetrics
{
    /// <summary>Name of the meter.</summary>
    public const string MeterName = "PoeWatch.Polling";

    private readonly Meter _meter;
    private readonly Histogram<double> _duration;
    private readonly Counter<long> _changes;
    private readonly Counter<long> _events;

    public PollingMetrics(IMeterFactory meters)
    {
        _meter = meters.Create(MeterName);
        _duration = _meter.CreateHistogram<double>("poewatch.poll.duration", "s", "Time of one poll from the first request to the last answer, by outcome.");
        _changes = _meter.CreateCounter<long>("poewatch.agent.changes", "{change}", "Restarts, replacements and renumberings of agents, by kind.");
        _events = _meter.CreateCounter<long>("poewatch.port.events", "{event}", "What the fault counters of ports told (RFC 3621), by kind.");
    }

    /// <summary>Counts a change of an agent.</summary>
    public void Changed(AgentChangeKind kind) => _changes.Add(1, new KeyValuePair<string, object?>("kind", kind.Name()));

    /// <summary>Counts what the fault counters of a port told.</summary>
    public void Happened(PortEvents events)
    {
        Add("mps-absent", events.MpsAbsent);
        Add("invalid-signature", events.InvalidSignature);
        Add("power-denied", events.PowerDenied);
        Add("overload", events.Overload);
        Add("short", events.Short);

        void Add(string kind, uint count)
        {
            if (count > 0)
            {
                _events.Add(count, new KeyValuePair<string, object?>("kind", kind));
            }
        }
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
