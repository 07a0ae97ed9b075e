using System.Diagnostics.Metrics;
using PoeWatch.Snmp.Notifications;

namespace PoeWatch.Monitoring.Telemetry;

/// <summary>Figures of notifications: listed in docs/metrics.md. Thread safe.</summary>
public sealed class NotificationMetrics
{
    /// <summary>Name of the meter.</summary>
    public const string MeterName = "PoeWatch.Notifications";

    private readonly Counter<long> _accepted;
    private readonly Counter<long> _refused;
    private readonly Counter<long> _hastened;

    public NotificationMetrics(IMeterFactory meters)
    {
        Meter meter = meters.Create(MeterName);
        _accepted = meter.CreateCounter<long>("poewatch.notification.accepted", "{notification}", "Traps and informs that were believed, by kind.");
        _refused = meter.CreateCounter<long>("poewatch.notification.refused", "{notification}", "Datagrams at the notification port that were not taken, by reason.");
        _hastened = meter.CreateCounter<long>("poewatch.notification.polls", "{poll}", "Polls before their slot that notifications asked for.");
    }

    /// <summary>The name of a reason in metrics.</summary>
    public static string Name(NotificationRefusal why) => why switch
    {
        NotificationRefusal.UnknownSender => "unknown-sender",
        NotificationRefusal.TooMany => "too-many",
        NotificationRefusal.Malformed => "malformed",
        NotificationRefusal.Unsupported => "unsupported",
        NotificationRefusal.WrongCommunity => "wrong-community",
        NotificationRefusal.UnknownUser => "unknown-user",
        NotificationRefusal.WrongLevel => "wrong-level",
        NotificationRefusal.WrongDigest => "wrong-digest",
        NotificationRefusal.OutsideTimeWindow => "outside-time-window",
        NotificationRefusal.DecryptionError => "decryption-error",
        NotificationRefusal.Repeated => "repeated",
        _ => "unknown",
    };

    public void Accepted(string kind) => _accepted.Add(1, new KeyValuePair<string, object?>("kind", kind));

    public void Refused(NotificationRefusal why) => _refused.Add(1, new KeyValuePair<string, object?>("reason", Name(why)));

    public void Hastened() => _hastened.Add(1);
}
