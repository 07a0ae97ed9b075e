using System.Net;
using System.Security.Cryptography;
using PoeWatch.Snmp.Codec;

namespace PoeWatch.Snmp.Notifications;

/// <summary>Traps and informs of v2c: taken where the community is that of an agent at the address. Pure.</summary>
internal static class CommunityNotifications
{
    public static NotificationVerdict Read(ReadOnlySpan<byte> datagram, IPAddress address, IReadOnlyList<NotificationSender> senders)
    {
        if (!CommunityMessage.TryRead(datagram, out ReadOnlySpan<byte> community, out PduView pdu))
        {
            return NotificationVerdict.Refused(NotificationRefusal.Malformed);
        }

        List<string> ids = [];
        foreach (NotificationSender sender in senders)
        {
            if (sender.Credentials is CommunityCredentials known && CryptographicOperations.FixedTimeEquals(known.Community, community))
            {
                ids.Add(sender.Id);
            }
        }

        if (ids.Count == 0)
        {
            return NotificationVerdict.Refused(NotificationRefusal.WrongCommunity);
        }

        if (pdu.Type is not (PduType.Trap or PduType.Inform))
        {
            return NotificationVerdict.Refused(NotificationRefusal.Unsupported);
        }

        return NotificationContent.TryRead(pdu, address, ids, out SnmpNotification notification)
            ? NotificationVerdict.Taken(notification, notification.IsInform ? Response(pdu, community) : null)
            : NotificationVerdict.Refused(NotificationRefusal.Malformed);
    }

    private static byte[] Response(PduView inform, ReadOnlySpan<byte> community)
    {
        BerWriter writer = new(new byte[NotificationContent.ResponseBound(inform) + community.Length + 32]);
        NotificationContent.WriteResponse(ref writer, inform);
        CommunityMessage.Frame(ref writer, community);
        return writer.Written.ToArray();
    }
}
