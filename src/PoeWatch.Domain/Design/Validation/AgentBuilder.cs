using System.Globalization;
using System.Net;
using PoeWatch.Domain.Design.Config;
using PoeWatch.Domain.DrawSheets;

namespace PoeWatch.Domain.Design.Validation;

/// <summary>How to reach an agent: address, credentials by name, period, draw column.</summary>
internal static class AgentBuilder
{
    public const int SnmpPort = 161;
    public const string DefaultCredentials = "default";

    private static readonly TimeSpan PeriodMin = TimeSpan.FromSeconds(1);
    private static readonly TimeSpan PeriodMax = TimeSpan.FromMinutes(15);
    private static readonly TimeSpan PeriodDefault = TimeSpan.FromSeconds(60);

    public static SnmpAgent Build(ProblemList problems, string element, AgentConfig written)
    {
        var values = new ValueReader(problems, element, written.At);
        var (address, port) = Address(values, written.Address);
        return new SnmpAgent(
            address, port, written.Credentials?.Value ?? DefaultCredentials, Period(problems, element, written.PollPeriod), Column(problems, element, written.DrawColumn))
        {
            AnswersFrom = [.. written.AnswersFrom.Select(other => AnswersFrom(problems, element, address, other)).OfType<IPAddress>()],
        };
    }

    private static IPAddress? AnswersFrom(ProblemList problems, string element, string asked, Written<string> written)
    {
        var isAddress = TrySplit(written.Value, out var text, out var port) && port == SnmpPort && text == written.Value;
        if (!isAddress || !IPAddress.TryParse(text, out var address))
        {
            problems.Error(
                "malformed-address", written, element, $"'{written.Value}' is not an IP address.",
                "Write the switch's other address as '192.0.2.20' or '2001:db8::20': a name or a port has no place here; answers come from the port that is asked.");
            return null;
        }

        // Over another family an answer cannot come: it is another socket.
        if (IPAddress.TryParse(asked, out var own) && own.AddressFamily != address.AddressFamily)
        {
            problems.Error(
                "malformed-address", written, element, $"'{written.Value}' is of another family than the address that is asked, '{asked}'.",
                "Name an IPv4 address where an IPv4 address is asked, an IPv6 address where an IPv6 address is.");
            return null;
        }

        return address;
    }

    private static (string Address, int Port) Address(ValueReader values, Written<string>? written)
    {
        const string Meant = "an IP address or DNS name, with ':port' where it is not 161";
        var text = values.Text(written, "address", Meant);
        if (TrySplit(text, out var address, out var port) || written is null)
        {
            return (address, port);
        }

        values.Problems.Error(
            "malformed-address", written, values.Element, $"'{text}' is not an address.",
            "Write '192.0.2.10', '192.0.2.10:161', 'switch.example.net' or '[2001:db8::10]:161'.");
        return ("", SnmpPort);
    }

    private static bool TrySplit(string text, out string address, out int port)
    {
        (address, port) = (text, SnmpPort);
        if (text.StartsWith('['))
        {
            var end = text.IndexOf(']');
            if (end < 0 || !IPAddress.TryParse(text.AsSpan(1, end - 1), out _))
            {
                return false;
            }

            address = text[1..end];
            return end == text.Length - 1 || (text[end + 1] == ':' && TryPort(text[(end + 2)..], out port));
        }

        if (text.Count(c => c == ':') > 1)
        {
            return IPAddress.TryParse(text, out _);
        }

        var colon = text.IndexOf(':');
        if (colon >= 0)
        {
            address = text[..colon];
            if (!TryPort(text[(colon + 1)..], out port))
            {
                return false;
            }
        }

        // Only digits and dots can be nothing but an IPv4 address; IPAddress would also take "10" or "192.0.2".
        return address.All(c => char.IsAsciiDigit(c) || c == '.')
            ? address.Count(c => c == '.') == 3 && IPAddress.TryParse(address, out _)
            : IsDnsName(address);
    }

    private static bool TryPort(string text, out int port) =>
        int.TryParse(text, NumberStyles.None, CultureInfo.InvariantCulture, out port) && port is >= 1 and <= 65535;

    private static bool IsDnsName(string name) =>
        name.Length is >= 1 and <= 253
        && name.TrimEnd('.').Split('.').All(label =>
            label.Length is >= 1 and <= 63
            && label.All(c => char.IsAsciiLetterOrDigit(c) || c is '-' or '_')
            && label[0] != '-' && label[^1] != '-');

    private static TimeSpan Period(ProblemList problems, string element, Written<string>? written)
    {
        if (written is null)
        {
            return PeriodDefault;
        }

        var text = written.Value;
        var (digits, unit) = text.EndsWith("min", StringComparison.Ordinal) ? (text[..^3], 60) : (text.EndsWith('s') ? text[..^1] : text, 1);
        if (text != digits && ushort.TryParse(digits, NumberStyles.None, CultureInfo.InvariantCulture, out var count))
        {
            var period = TimeSpan.FromSeconds(count * unit);
            if (period >= PeriodMin && period <= PeriodMax)
            {
                return period;
            }
        }

        problems.Error(
            "malformed-period", written, element, "'poll-period' must be a time from 1s to 15min.",
            "Write whole seconds or minutes with their unit, for example '60s' or '5min'.");
        return PeriodDefault;
    }

    private static DrawColumn? Column(ProblemList problems, string element, DrawColumnConfig? written)
    {
        if (written is null)
        {
            return null;
        }

        var values = new ValueReader(problems, element, written.At);
        var oid = values.Text(written.Oid, "oid", "the column's OID in dotted numbers, without the index");
        if (written.Oid is not null && !ObjectIdentifiers.IsLawful(oid))
        {
            problems.Error(
                "malformed-oid", written.Oid, element, $"'{oid}' is not an OID.",
                "Write the column's OID in dotted numbers without a leading dot, for example '1.3.6.1.4.1.64512.1.2'.");
        }

        return new DrawColumn(oid, values.Choice(written.Unit, DesignChoices.DrawUnit), values.Choice(written.Index, DesignChoices.DrawIndex));
    }
}
