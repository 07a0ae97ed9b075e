using System.Diagnostics.Metrics;
using PoeWatch.Domain.Notices;
using PoeWatch.Monitoring.Abstractions;

namespace PoeWatch.Monitoring.Telemetry;

/// <summary>Figures of notices by lane: listed in docs/metrics.md. Thread safe.</summary>
public sealed class NoticeMetrics
{
    /// <summary>Name of the meter.</summary>
    public const string MeterName = "PoeWatch.Notices";

    private readonly Counter<long> _posted;
    private readonly Counter<long> _sent;
    private readonly Counter<long> _failed;
    private readonly Counter<long> _givenUp;
    private readonly Histogram<double> _duration;
    private volatile Func<IEnumerable<LaneView>> _lanes = () => [];

    public NoticeMetrics(IMeterFactory meters)
    {
        Meter meter = meters.Create(MeterName);
        _posted = meter.CreateCounter<long>("poewatch.notice.posted", "{notice}", "Notices of alarm changes put into the outbox.");
        _sent = meter.CreateCounter<long>("poewatch.notice.sent", "{notice}", "Notices that receivers took.");
        _failed = meter.CreateCounter<long>("poewatch.notice.failed_attempts", "{attempt}", "Attempts that failed or were refused.");
        _givenUp = meter.CreateCounter<long>("poewatch.notice.given_up", "{notice}", "Notices given up because the receiver refused them.");
        _duration = meter.CreateHistogram<double>("poewatch.notice.send_duration", "s", "Time of one attempt.");
        meter.CreateObservableGauge("poewatch.notice.waiting", () => Of(l => l.Waiting), "{notice}", "Notices that are not sent yet.");
        meter.CreateObservableGauge("poewatch.notice.dead", () => Of(l => l.Dead), "{notice}", "Notices that were given up and are kept to be seen.");
    }

    /// <summary>Says where the lanes are found.</summary>
    public void Watch(Func<IEnumerable<LaneView>> lanes) => _lanes = lanes;

    public void Posted(NoticeLane lane, int count) => _posted.Add(count, Tag(lane));

    public void Sent(NoticeLane lane, int count) => _sent.Add(count, Tag(lane));

    public void Failed(NoticeLane lane) => _failed.Add(1, Tag(lane));

    public void GivenUp(NoticeLane lane, int count) => _givenUp.Add(count, Tag(lane));

    public void Tried(NoticeLane lane, TimeSpan duration) => _duration.Record(duration.TotalSeconds, Tag(lane));

    private IEnumerable<Measurement<int>> Of(Func<LaneView, int> value) => [.. _lanes().Select(l => new Measurement<int>(value(l), Tag(l.Lane)))];

    private static KeyValuePair<string, object?> Tag(NoticeLane lane) => new("lane", lane.ToString());
}
