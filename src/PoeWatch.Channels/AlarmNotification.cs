using System.Buffers.Binary;
using System.Security.Cryptography;
using System.Text;
using PoeWatch.Domain.Alarms;
using PoeWatch.Domain.Notices;
using PoeWatch.Snmp;
using Oid = PoeWatch.Snmp.Oid;

namespace PoeWatch.Channels;

/// <summary>Notices as the notifications of the ALARM-MIB (RFC 3877), whose names are registered: 1.3.6.1.2.1.118. Pure.</summary>
internal static class AlarmNotification
{
    private const int DescriptionOctetsMax = 255;
    private static readonly Oid s_sysUpTime = Oid.Parse("1.3.6.1.2.1.1.3.0");
    private static readonly Oid s_snmpTrapOid = Oid.Parse("1.3.6.1.6.3.1.1.4.1.0");
    private static readonly Oid s_zeroDotZero = Oid.Parse("0.0");

    /// <summary>The variables of one inform; null where the ALARM-MIB has no word for the notice.</summary>
    /// <param name="upTime">Since the start of the sender.</param>
    public static IReadOnlyList<VarBind>? Of(Notice notice, TimeSpan upTime)
    {
        NoticeContent c = notice.Content;
        string? type = c.Kind switch
        {
            AlarmChangeKinds.Raised or AlarmChangeKinds.SeverityChanged => "2",

            // A trial is told as the end of an alarm that never was: it can frighten nobody and stays open nowhere.
            AlarmChangeKinds.Cleared or NoticeKinds.Trial => "3",
            _ => null,
        };
        if (type is null)
        {
            return null;
        }

        var row = Row(c);
        return
        [
            new VarBind(s_sysUpTime, SnmpValue.TimeTicks((uint)(upTime.TotalMilliseconds / 10 % uint.MaxValue))),
            new VarBind(s_snmpTrapOid, SnmpValue.ObjectIdentifier(Oid.Parse($"1.3.6.1.2.1.118.0.{type}"))),

            // alarmActiveModelPointer and alarmActiveResourceId point into tables of an agent, which there is none of: 0.0, as their syntax has it for that.
            new VarBind(Oid.Parse($"1.3.6.1.2.1.118.1.2.2.1.13.{row}"), SnmpValue.ObjectIdentifier(s_zeroDotZero)),
            new VarBind(Oid.Parse($"1.3.6.1.2.1.118.1.2.2.1.10.{row}"), SnmpValue.ObjectIdentifier(s_zeroDotZero)),
            new VarBind(Oid.Parse($"1.3.6.1.2.1.118.1.2.2.1.11.{row}"), SnmpValue.Octets(Cut(Encoding.UTF8.GetBytes(NoticeText.Short(c)), DescriptionOctetsMax))),
        ];
    }

    // The row of alarmActiveTable: list name (empty, the default list), DateAndTime of the raise in UTC, and a number that tells alarms of one moment
    // apart. It is the same from raise to clear.
    private static string Row(NoticeContent c)
    {
        byte[] digest = SHA256.HashData(Encoding.UTF8.GetBytes($"{c.Resource}\n{c.Type}"));
        var number = BinaryPrimitives.ReadUInt32BigEndian(digest) & int.MaxValue;
        return $"0.11.{string.Join('.', DateAndTime(c.Since ?? c.At))}.{number.ToString(System.Globalization.CultureInfo.InvariantCulture)}";
    }

    /// <summary>DateAndTime of RFC 2579, eleven octets, in UTC.</summary>
    internal static byte[] DateAndTime(DateTimeOffset at)
    {
        DateTime utc = at.UtcDateTime;
        return
        [
            (byte)(utc.Year >> 8), (byte)utc.Year, (byte)utc.Month, (byte)utc.Day, (byte)utc.Hour, (byte)utc.Minute, (byte)utc.Second, (byte)(utc.Millisecond / 100),
            (byte)'+', 0, 0,
        ];
    }

    // UTF-8 is cut between characters; an SnmpAdminString has at most 255 octets.
    internal static byte[] Cut(byte[] octets, int octetsMax)
    {
        var length = Math.Min(octets.Length, octetsMax);
        while (length > 0 && length < octets.Length && (octets[length] & 0xC0) == 0x80)
        {
            length--;
        }

        return octets[..length];
    }
}
