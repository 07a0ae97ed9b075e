using System.Text.Json;
using System.Text.Json.Serialization;
using PoeWatch.Domain.Notices;
using PoeWatch.Monitoring.Abstractions;

namespace PoeWatch.Channels;

/// <summary>What a webhook carries, as docs/notices.md describes it.</summary>
internal sealed record WebhookBody(int Version, string Role, string Subject, IReadOnlyList<WebhookNotice> Notices)
{
    private static readonly JsonSerializerOptions s_json = new(JsonSerializerDefaults.Web) { DefaultIgnoreCondition = JsonIgnoreCondition.Never };

    public static byte[] Of(NoticeMessage message) => JsonSerializer.SerializeToUtf8Bytes(
        new WebhookBody(1, message.Notices[0].Lane.Role, message.Subject, [.. message.Notices.Select(n => WebhookNotice.Of(n, message.Text))]), s_json);
}

/// <summary>One notice in it. Times are RFC 3339, UTC; unknown is null.</summary>
internal sealed record WebhookNotice(
    long Id, string Kind, string? Severity, string Resource, string Type, string At, string? Since, string? Place, string? PoleId, string Text, IReadOnlyList<string> LikelyCauses, string? NextSteps, string? Who, string? Url)
{
    public static WebhookNotice Of(Notice notice, NoticeText text)
    {
        NoticeContent c = notice.Content;
        return new WebhookNotice(
            notice.Id,
            c.Kind,
            c.Severity == default ? null : NoticeText.SeverityName(c.Severity),
            c.Resource,
            c.Type,
            Time(c.At),
            c.Since is { } since ? Time(since) : null,
            OrNull(c.Place),
            OrNull(c.PoleId),
            c.Text,
            NoticeText.Causes(c),
            OrNull(c.NextSteps),
            OrNull(c.Who),
            text.AddressOf(c)?.ToString());
    }

    private static string Time(DateTimeOffset at) => at.UtcDateTime.ToString("yyyy-MM-dd'T'HH:mm:ss.fff'Z'", System.Globalization.CultureInfo.InvariantCulture);

    private static string? OrNull(string text) => text.Length == 0 ? null : text;
}
