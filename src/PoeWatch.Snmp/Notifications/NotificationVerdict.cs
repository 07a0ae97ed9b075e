namespace PoeWatch.Snmp.Notifications;

/// <summary>What came of one datagram.</summary>
/// <param name="Notification">What was believed, or null.</param>
/// <param name="Refusal">Why it was not; null for what is neither, such as the search for our engine.</param>
/// <param name="Reply">What to send back, or null: the answer to an inform, or a Report.</param>
internal readonly record struct NotificationVerdict(SnmpNotification? Notification, NotificationRefusal? Refusal, byte[]? Reply)
{
    public static NotificationVerdict Taken(SnmpNotification notification, byte[]? reply) => new(notification, null, reply);

    public static NotificationVerdict Refused(NotificationRefusal why, byte[]? reply = null) => new(null, why, reply);

    public static NotificationVerdict Asked(byte[] report) => new(null, null, report);
}
