using System.Globalization;
using System.Text;
using PoeWatch.Domain.Alarms;
using PoeWatch.Domain.Notices;

namespace PoeWatch.Channels;

/// <summary>
/// Notices as RFC 5424 writes them, with the SD-ID "alarm" of RFC 5674, which is registered with IANA: so no enterprise number is needed. Pure.
/// </summary>
internal static class SyslogText
{
    /// <summary>One message without framing.</summary>
    /// <param name="host">Name of this machine.</param>
    /// <param name="link">Where the dashboard shows it; null where nowhere.</param>
    public static string Of(Notice notice, int facility, string host, Uri? link)
    {
        NoticeContent c = notice.Content;
        var at = c.At.UtcDateTime.ToString("yyyy-MM-dd'T'HH:mm:ss.ffffff'Z'", CultureInfo.InvariantCulture);

        // RFC 5424 section 7.3.1: from 1 to 2147483647, then again from 1.
        var sequence = ((notice.Id - 1) % int.MaxValue) + 1;
        var text = new StringBuilder();
        text.Append(CultureInfo.InvariantCulture, $"<{(facility * 8) + Severity(c)}>1 {at} {Printable(host, 255)} poewatch - {Printable(c.Kind, 32)} ");
        text.Append(CultureInfo.InvariantCulture, $"[meta sequenceId=\"{sequence}\"]");
        if (c.Severity != AlarmSeverity.Unknown)
        {
            text.Append(CultureInfo.InvariantCulture, $"[alarm resource=\"{Escape(c.Resource)}\" probableCause=\"{ProbableCause(c.Type)}\" perceivedSeverity=\"{Perceived(c)}\"");
            text.Append(link is null ? "]" : $" resourceURI=\"{Escape(link.ToString())}\"]");
        }

        // Section 6.4: a byte order mark says that the text is UTF-8.
        return text.Append(" \uFEFF").Append(NoticeText.Short(c)).ToString();
    }

    /// <summary>RFC 5425 section 4.3.1: length in octets, a space, the message.</summary>
    public static byte[] Frame(string message)
    {
        byte[] octets = Encoding.UTF8.GetBytes(message);
        return [.. Encoding.ASCII.GetBytes(octets.Length.ToString(CultureInfo.InvariantCulture) + " "), .. octets];
    }

    // RFC 5674 section 2 maps perceived severities to syslog's; what is no alarm is informational.
    private static int Severity(NoticeContent c) => c.Kind == AlarmChangeKinds.Cleared ? 5 : c.Severity switch
    {
        AlarmSeverity.Critical => 1,
        AlarmSeverity.Major => 2,
        AlarmSeverity.Minor => 3,
        AlarmSeverity.Warning => 4,
        _ => 6,
    };

    private static string Perceived(NoticeContent c) => c.Kind == AlarmChangeKinds.Cleared ? "cleared" : NoticeText.SeverityName(c.Severity);

    // Labels of IANAItuProbableCause (RFC 3877, from memory of the module): only what surely fits, else other.
    private static string ProbableCause(string type) => type switch
    {
        AlarmTypes.SwitchSilent => "communicationsSubsystemFailure",
        AlarmTypes.PortFault => "powerProblem",
        _ => "other",
    };

    private static string Printable(string text, int most)
    {
        var clean = new string([.. text.Where(c => c is > ' ' and < (char)127).Take(most)]);
        return clean.Length == 0 ? "-" : clean;
    }

    // Section 6.3.3: these three are escaped in values.
    private static string Escape(string value) => value.Replace("\\", "\\\\", StringComparison.Ordinal)
        .Replace("\"", "\\\"", StringComparison.Ordinal).Replace("]", "\\]", StringComparison.Ordinal);
}
