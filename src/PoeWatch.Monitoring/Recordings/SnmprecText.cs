using System.Globalization;
using System.Net;
using System.Text;
using PoeWatch.Snmp;

namespace PoeWatch.Monitoring.Recordings;

/// <summary>
/// A recording as text that snmpsim replays: a line a value, OID, ASN.1 tag (RFC 3416 section 3) and value between bars, an <c>x</c> behind the tag where the
/// octets stand in hexadecimal; lines that begin with # are comments. In the order of names. Pure.
/// </summary>
public static class SnmprecText
{
    /// <param name="heading">Lines that say what it is.</param>
    public static string Write(AgentRecording recording, IEnumerable<string> heading)
    {
        ArgumentNullException.ThrowIfNull(recording);
        var text = new StringBuilder();
        foreach (var line in heading)
        {
            Comment(text, line);
        }

        foreach (MissingPart missing in recording.Missing)
        {
            Comment(text, $"missing: {missing.Oid}: {missing.Reason}");
        }

        foreach (VarBind cell in recording.Cells)
        {
            var (tag, value, fits) = Of(cell.Value);
            if (!fits)
            {
                Comment(text, "the agent sent more than this type holds, which cannot be replayed:");
            }

            text.Append(CultureInfo.InvariantCulture, $"{(fits ? "" : "# ")}{cell.Oid}|{tag}|{value}\n");
        }

        return text.ToString();
    }

    private static (string Tag, string Value, bool Fits) Of(SnmpValue value)
    {
        value.TryGetInt64(out var number);
        value.TryGetUInt64(out var unsigned);
        var digits = number.ToString(CultureInfo.InvariantCulture);
        return value.Type switch
        {
            SnmpType.Integer32 => ("2", digits, number is >= int.MinValue and <= int.MaxValue),
            SnmpType.Counter32 => ("65", digits, number is >= 0 and <= uint.MaxValue),
            SnmpType.Gauge32 => ("66", digits, number is >= 0 and <= uint.MaxValue),
            SnmpType.TimeTicks => ("67", digits, number is >= 0 and <= uint.MaxValue),
            SnmpType.Counter64 => ("70", unsigned.ToString(CultureInfo.InvariantCulture), true),
            SnmpType.ObjectIdentifier => ("6", value.TryGetOid(out Oid oid) && !oid.IsEmpty ? oid.ToString() : "0.0", true),
            SnmpType.IpAddress => ("64", Address(value), true),
            SnmpType.Opaque => ("68x", Hexadecimal(value), true),
            _ when IsPlain(value) => ("4", Encoding.ASCII.GetString(Octets(value)), true),
            _ => ("4x", Hexadecimal(value), true),
        };
    }

    // Ends that are blanks get lost in a line, bars and backslashes may mean something to who reads it.
    private static bool IsPlain(SnmpValue value)
    {
        ReadOnlySpan<byte> octets = Octets(value);
        return octets.IndexOfAnyExceptInRange((byte)' ', (byte)'~') < 0 && octets.IndexOfAny((byte)'|', (byte)'\\') < 0
            && (octets.IsEmpty || (octets[0] != ' ' && octets[^1] != ' '));
    }

    private static ReadOnlySpan<byte> Octets(SnmpValue value) => value.TryGetOctets(out ReadOnlySpan<byte> octets) ? octets : [];

    private static string Hexadecimal(SnmpValue value) => Convert.ToHexStringLower(Octets(value));

    private static string Address(SnmpValue value) => new IPAddress(Octets(value)).ToString();

    private static void Comment(StringBuilder text, string line) =>
        text.Append("# ").Append(string.Concat(line.Select(c => char.IsControl(c) ? ' ' : c))).Append('\n');
}
