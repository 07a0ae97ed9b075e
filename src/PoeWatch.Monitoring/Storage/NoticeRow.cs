using System.Text.Json;
using PoeWatch.Domain.Alarms;
using PoeWatch.Domain.Notices;
using PoeWatch.Monitoring.Abstractions;

namespace PoeWatch.Monitoring.Storage;

/// <summary>How both stores write a notice. Pure and thread safe.</summary>
public static class NoticeRow
{
    /// <summary>What a notice tells, as JSON. Times keep the microseconds that the store keeps.</summary>
    public static string Pack(NoticeContent content) => StoreText.Clean(JsonSerializer.Serialize(content with { At = Cut(content.At), Since = content.Since is { } since ? Cut(since) : null }));

    /// <exception cref="StoreException">The row is damaged.</exception>
    public static NoticeContent Unpack(string content)
    {
        try
        {
            return JsonSerializer.Deserialize<NoticeContent>(content) ?? throw new JsonException("It is null.");
        }
        catch (JsonException damaged)
        {
            throw new StoreException($"A stored notice cannot be read: {damaged.Message} Restore the store from a backup.", damaged);
        }
    }

    public static ToldAlarm Told(string resource, string type, int severity, DateTimeOffset raisedAt) =>
        new(new AlarmKey(resource, type), (AlarmSeverity)severity, raisedAt);

    private static DateTimeOffset Cut(DateTimeOffset time) => StoreTime.FromMicroseconds(StoreTime.ToMicroseconds(time));
}
