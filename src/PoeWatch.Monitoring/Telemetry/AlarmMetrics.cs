using System.Diagnostics.Metrics;
using PoeWatch.Domain.Alarms;

namespace PoeWatch.Monitoring.Telemetry;

/// <summary>Figures of alarms and assessments: listed in docs/metrics.md. Thread safe.</summary>
public sealed class AlarmMetrics
{
    /// <summary>Name of the meter.</summary>
    public const string MeterName = "PoeWatch.Alarms";

    private readonly Histogram<double> _assessmentTime;
    private readonly Counter<long> _changes;
    private volatile IReadOnlyList<Alarm> _alarms = [];

    public AlarmMetrics(IMeterFactory meters)
    {
        Meter meter = meters.Create(MeterName);
        _assessmentTime = meter.CreateHistogram<double>("poewatch.assessment.duration", "s", "Time to hold the whole site against its design once.");
        _changes = meter.CreateCounter<long>("poewatch.alarm.changes", "{change}", "Changes in the life of alarms, by kind.");
        meter.CreateObservableGauge("poewatch.alarm.active", CountBySeverity, "{alarm}", "Alarms that are not cleared, by severity.");
    }

    /// <summary>Takes the alarms as they now are.</summary>
    public void Show(IReadOnlyList<Alarm> alarms) => _alarms = alarms;

    /// <summary>Counts a change.</summary>
    public void Changed(string kind) => _changes.Add(1, new KeyValuePair<string, object?>("kind", kind));

    /// <summary>Records one assessment.</summary>
    public void Assessed(TimeSpan duration) => _assessmentTime.Record(duration.TotalSeconds);

    private IEnumerable<Measurement<int>> CountBySeverity()
    {
        IReadOnlyList<Alarm> alarms = _alarms;
        foreach (AlarmSeverity severity in (AlarmSeverity[])[AlarmSeverity.Warning, AlarmSeverity.Minor, AlarmSeverity.Major, AlarmSeverity.Critical])
        {
            yield return new Measurement<int>(
                alarms.Count(a => !a.IsCleared && a.Severity == severity),
                new KeyValuePair<string, object?>("severity", severity.ToString().ToLowerInvariant()));
        }
    }
}
