using System.Net;
using PoeWatch.Snmp.Codec;

namespace PoeWatch.Snmp.Notifications;

/// <summary>The PDU of a notification: what it says, and the answer to an inform. Pure.</summary>
internal static class NotificationContent
{
    private static readonly Oid UpTime = Oid.Parse("1.3.6.1.2.1.1.3.0");
    private static readonly Oid TrapOid = Oid.Parse("1.3.6.1.6.3.1.1.4.1.0");

    /// <summary>False where it does not begin with sysUpTime.0 and snmpTrapOID.0, as RFC 3416 section 4.2.6 asks.</summary>
    public static bool TryRead(
        PduView pdu, IPAddress address, IReadOnlyList<string> senderIds, out SnmpNotification notification)
    {
        notification = null!;
        byte[] kept = pdu.VarBindList.ToArray();
        if (!VarBindReader.TryDecode(kept, 0, kept.Length, out VarBind[] varBinds)
            || varBinds.Length < 2
            || varBinds[0].Oid != UpTime
            || varBinds[0].Value.Type != SnmpType.TimeTicks
            || !varBinds[0].Value.TryGetUInt64(out ulong ticks)
            || varBinds[1].Oid != TrapOid
            || !varBinds[1].Value.TryGetOid(out Oid kind))
        {
            return false;
        }

        notification = new SnmpNotification(
            address, senderIds, kind, TimeSpan.FromMilliseconds(ticks * 10.0), varBinds[2..], pdu.Type == PduType.Inform);
        return true;
    }

    /// <summary>Room that is enough for an answer to this PDU without the frame around it.</summary>
    public static int ResponseBound(PduView inform) => inform.VarBindList.Length + 64;

    /// <summary>Writes the answer to an inform: its own variables, no error (RFC 3416 section 4.2.7).</summary>
    public static void WriteResponse(ref BerWriter writer, PduView inform)
    {
        writer.WriteRaw(inform.VarBindList);
        WritePdu(ref writer, PduType.Response, inform.RequestId);
    }

    /// <summary>Writes a Report with one counter (RFC 3412 section 7.1.3).</summary>
    public static void WriteReport(ref BerWriter writer, Oid counter, long count, int requestId)
    {
        writer.WriteUnsigned(BerTag.Counter32, (ulong)count & uint.MaxValue);
        writer.WriteOid(counter);
        writer.Wrap(BerTag.Sequence, 0);
        WritePdu(ref writer, PduType.Report, requestId);
    }

    private static void WritePdu(ref BerWriter writer, PduType type, int requestId)
    {
        writer.Wrap(BerTag.Sequence, 0);
        writer.WriteInteger(0);
        writer.WriteInteger(0);
        writer.WriteInteger(requestId);
        writer.Wrap((byte)type, 0);
    }
}
