using System.Text;
using PoeWatch.Domain.Alarms;
using PoeWatch.Domain.Notices;
using PoeWatch.Snmp;
using Oid = PoeWatch.Snmp.Oid;

namespace PoeWatch.Channels;

/// <summary>
/// Notices as notifications below an arc that the operator owns: ARC.0.n what happened, ARC.1.n.0 what is told of it. The table stands in docs/notices.md; numbers never change their meaning. Pure.
/// </summary>
internal sealed class ArcNotification(Oid arc)
{
    // Together they stay below the 1472 octets that a datagram carries whole over Ethernet, with the headers of SNMPv3.
    private const int TextOctetsMax = 480;
    private const int NameOctetsMax = 100;
    private const string Enterprises = "1.3.6.1.4.1.";

    // RFC 5612: for examples in documents, so nobody owns it.
    private const string Example = "32473";
    private static readonly Oid s_sysUpTime = Oid.Parse("1.3.6.1.2.1.1.3.0");
    private static readonly Oid s_snmpTrapOid = Oid.Parse("1.3.6.1.6.3.1.1.4.1.0");

    /// <summary>An arc as it is written; null where it cannot be one, and then the problem says why and what to write.</summary>
    /// <param name="isLoopback">True where the receiver is this machine: then the arc for examples is taken too.</param>
    public static Oid? Read(string text, bool isLoopback, out string problem)
    {
        const string Remedy = "Write the enterprise number that IANA gave to you with a number of your own behind it, such as 1.3.6.1.4.1.NUMBER.1, or leave 'arc' out for the registered names of the ALARM-MIB.";
        var parts = text.StartsWith(Enterprises, StringComparison.Ordinal) ? text[Enterprises.Length..].Split('.') : [];
        if (parts.Length < 2 || !Oid.TryParse(text, out var arc) || parts[0] == "0")
        {
            problem = $"arc: '{text}' is no arc below an enterprise number (1.3.6.1.4.1). {Remedy}";
            return null;
        }

        if (parts[0] == Example && !isLoopback)
        {
            problem = $"arc: {Example} is the enterprise number for examples (RFC 5612), which nobody owns; it is taken for a receiver on loopback only. {Remedy}";
            return null;
        }

        problem = "";
        return arc;
    }

    /// <summary>The variables of one inform.</summary>
    /// <param name="upTime">Since the start of the sender.</param>
    public IReadOnlyList<VarBind> Of(Notice notice, TimeSpan upTime)
    {
        NoticeContent c = notice.Content;
        return
        [
            new VarBind(s_sysUpTime, SnmpValue.TimeTicks((uint)(upTime.TotalMilliseconds / 10 % uint.MaxValue))),
            new VarBind(s_snmpTrapOid, SnmpValue.ObjectIdentifier(Below($"0.{Event(c.Kind)}"))),
            Text(1, FormattableString.Invariant($"{notice.Id}"), NameOctetsMax),
            Text(2, c.Kind, NameOctetsMax),
            new VarBind(Below("1.3.0"), SnmpValue.Integer32(Severity(c))),
            Text(4, c.Resource, NameOctetsMax),
            Text(5, c.Type, NameOctetsMax),
            Text(6, c.Place, NameOctetsMax),
            new VarBind(Below("1.7.0"), SnmpValue.Octets(AlarmNotification.DateAndTime(c.At))),
            new VarBind(Below("1.8.0"), SnmpValue.Octets(AlarmNotification.DateAndTime(c.Since ?? c.At))),
            Text(9, c.Text, TextOctetsMax),
            Text(10, c.Who, NameOctetsMax),
        ];
    }

    private static int Event(string kind) => kind switch
    {
        AlarmChangeKinds.Raised or AlarmChangeKinds.SeverityChanged => 1,
        AlarmChangeKinds.Cleared => 2,
        NoticeKinds.News => 4,
        NoticeKinds.Trial => 5,
        _ => 3, // what a person said of an alarm
    };

    // ItuPerceivedSeverity of the ITU-ALARM-TC-MIB (RFC 3877): cleared 1, indeterminate 2, critical 3, major 4, minor 5, warning 6.
    private static int Severity(NoticeContent c) => c.Kind == AlarmChangeKinds.Cleared ? 1 : c.Severity switch
    {
        AlarmSeverity.Critical => 3,
        AlarmSeverity.Major => 4,
        AlarmSeverity.Minor => 5,
        AlarmSeverity.Warning => 6,
        _ => 2,
    };

    private Oid Below(string tail) => Oid.Parse($"{arc}.{tail}");

    private VarBind Text(int column, string text, int octetsMax) =>
        new(Below(FormattableString.Invariant($"1.{column}.0")), SnmpValue.Octets(AlarmNotification.Cut(Encoding.UTF8.GetBytes(text), octetsMax)));
}
