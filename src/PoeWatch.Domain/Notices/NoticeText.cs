using System.Globalization;
using System.Text;
using PoeWatch.Domain.Alarms;

namespace PoeWatch.Domain.Notices;

/// <summary>Notices as people read them. Pure.</summary>
/// <param name="dashboard">Address of the dashboard for links; null where there is none.</param>
/// <param name="zone">The site's zone.</param>
public sealed class NoticeText(Uri? dashboard, TimeZoneInfo zone)
{
    /// <summary>One line: "MAJOR raised: headroom-low, run/quay-west:1/3 (pole Quay 3)".</summary>
    public static string Subject(NoticeContent content)
    {
        var place = content.Place.Length == 0 ? content.Resource : $"{content.Resource} ({content.Place})";
        return OneLine(content.Kind switch
        {
            NoticeKinds.Trial => "Trial notice: nothing is wrong",
            NoticeKinds.News => $"News: {content.Type}, {place}",
            AlarmChangeKinds.Cleared => $"cleared (was {SeverityName(content.Severity)}): {content.Type}, {place}",
            _ => $"{SeverityName(content.Severity).ToUpperInvariant()} {content.Kind}: {content.Type}, {place}",
        });
    }

    /// <summary>One line of a digest: "3 alarm changes from 06:10 to 07:00, worst minor".</summary>
    public string Subject(IReadOnlyList<Notice> digest) => string.Create(
        CultureInfo.InvariantCulture,
        $"{digest.Count} notices from {Local(digest.Min(n => n.Content.At)):yyyy-MM-dd HH:mm} to {Local(digest.Max(n => n.Content.At)):HH:mm}, worst {SeverityName(digest.Max(n => n.Content.Severity))}");

    /// <summary>One line with the text: for syslog, at most <paramref name="charsMax"/> characters.</summary>
    public static string Short(NoticeContent content, int charsMax = 480)
    {
        var line = OneLine($"{Subject(content)}. {content.Text}");
        return line.Length <= charsMax ? line : string.Concat(line.AsSpan(0, charsMax - 1), "…");
    }

    /// <summary>Plain text of one notice or of a digest: what, where, since when, the numbers, what to do, a link.</summary>
    public string Body(IReadOnlyList<Notice> notices)
    {
        var text = new StringBuilder();
        foreach (var notice in notices)
        {
            if (text.Length > 0)
            {
                text.Append('\n').Append('-', 40).Append("\n\n");
            }

            Append(text, notice);
        }

        return text.ToString();
    }

    /// <summary>Where the dashboard shows it; null where no address of the dashboard is set.</summary>
    public Uri? AddressOf(NoticeContent content) => dashboard is null ? null
        : content.PoleId.Length == 0 ? dashboard
        : new Uri(dashboard, $"#pole={Uri.EscapeDataString(content.PoleId)}");

    /// <summary>Likely causes, the likeliest first; none where it is over or no alarm.</summary>
    public static IReadOnlyList<string> Causes(NoticeContent content) =>
        content.Kind == AlarmChangeKinds.Cleared ? [] : AlarmTypeTable.Find(content.Type)?.Causes ?? [];

    /// <summary>"warning", "minor", "major", "critical", or "none" where it is no alarm.</summary>
    public static string SeverityName(AlarmSeverity severity) => severity == AlarmSeverity.Unknown ? "none" : severity.ToString().ToLowerInvariant();

    private void Append(StringBuilder text, Notice notice)
    {
        var content = notice.Content;
        text.Append(Subject(content)).Append('\n');
        Line(text, "What", content.Text);
        Line(text, "Where", content.Place.Length == 0 ? content.Resource : $"{content.Resource}, {content.Place}");
        Line(text, "When", Time(content.At));
        if (content.Since is { } since && since != content.At)
        {
            Line(text, content.Kind == AlarmChangeKinds.Cleared ? "Was active since" : "Active since", Time(since));
        }

        Line(text, "By", content.Who);
        Line(text, "Likely causes", string.Join("; ", Causes(content)));
        Line(text, "What to do", content.NextSteps);
        Line(text, "Look at", AddressOf(content)?.ToString() ?? "");
        text.Append(CultureInfo.InvariantCulture, $"Notice {notice.Id} for {notice.Lane.Role}; one that comes twice has the same number.\n");
    }

    private static void Line(StringBuilder text, string name, string value)
    {
        if (value.Length > 0)
        {
            text.Append(name).Append(": ").Append(value).Append('\n');
        }
    }

    private string Time(DateTimeOffset at)
    {
        var local = Local(at);
        return string.Create(CultureInfo.InvariantCulture, $"{local:yyyy-MM-dd HH:mm:ss zzz} at the site ({at.UtcDateTime:yyyy-MM-dd'T'HH:mm:ss}Z)");
    }

    private DateTimeOffset Local(DateTimeOffset at) => TimeZoneInfo.ConvertTime(at, zone);

    private static string OneLine(string text) => string.Join(' ', text.Split((char[]?)null, StringSplitOptions.RemoveEmptyEntries));
}
