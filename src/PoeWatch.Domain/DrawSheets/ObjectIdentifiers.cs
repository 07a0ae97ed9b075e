using System.Globalization;

namespace PoeWatch.Domain.DrawSheets;

/// <summary>Object identifiers in dotted numbers. Pure.</summary>
public static class ObjectIdentifiers
{
    /// <summary>
    /// X.660: the first arc is 0, 1 or 2 and under the first two the second arc is below 40; SNMP allows 128 arcs of 32 bits (RFC 2578, 3.5).
    /// </summary>
    public static bool IsLawful(string text)
    {
        var arcs = text.Split('.');
        if (arcs.Length is < 3 or > 128
            || !arcs.All(arc => uint.TryParse(arc, NumberStyles.None, CultureInfo.InvariantCulture, out _) && (arc == "0" || arc[0] != '0')))
        {
            return false;
        }

        return arcs[0] == "2" || (arcs[0] is "0" or "1" && uint.Parse(arcs[1], CultureInfo.InvariantCulture) < 40);
    }

    /// <summary>True where <paramref name="text"/> is <paramref name="beginning"/> or stands below it.</summary>
    public static bool IsUnder(string text, string beginning) =>
        text.StartsWith(beginning, StringComparison.Ordinal) && (text.Length == beginning.Length || text[beginning.Length] == '.');

    /// <summary>The maker's own arc, <c>1.3.6.1.4.1.N</c>; empty for what is no enterprise's.</summary>
    public static string Enterprise(string text)
    {
        const string Private = "1.3.6.1.4.1.";
        if (!text.StartsWith(Private, StringComparison.Ordinal))
        {
            return string.Empty;
        }

        var end = text.IndexOf('.', Private.Length);
        return end < 0 ? text : text[..end];
    }
}
