using System.Net;
using PoeWatch.Snmp.Codec;
using PoeWatch.Snmp.Security;

namespace PoeWatch.Snmp.Notifications;

/// <summary>
/// Traps and informs of v3 (RFC 3414 section 3.2). A trap is signed with the sender's engine, an inform with ours; a message that expects an answer
/// and names another engine is the search for ours. Not thread safe.
/// </summary>
internal sealed class UsmNotifications(LocalEngine engine, SenderEngines senderEngines)
{
    // Of each distinct user a copy of the datagram is tried; more than this at one address is no site.
    private const int UsersMax = 8;

    private readonly UsmReports _reports = new(engine);

    public NotificationVerdict Read(ReadOnlySpan<byte> datagram, IPAddress address, IReadOnlyList<NotificationSender> senders)
    {
        if (!UsmMessage.TryRead(datagram, out UsmMessage message))
        {
            return NotificationVerdict.Refused(NotificationRefusal.Malformed);
        }

        if (!IsOurs(message) && WantsReport(message))
        {
            return NotificationVerdict.Asked(_reports.Plain(message, UsmCounter.UnknownEngineIds));
        }

        if (message.EngineId.IsEmpty)
        {
            return NotificationVerdict.Refused(NotificationRefusal.Malformed);
        }

        NotificationVerdict verdict = Refused(message, NotificationRefusal.UnknownUser, UsmCounter.UnknownUserNames);
        foreach (UsmCredentials user in Users(message, senders))
        {
            verdict = Try(user, datagram.ToArray(), address, [.. senders.Where(s => user.Equals(s.Credentials)).Select(s => s.Id)]);
            if (verdict.Refusal is not (NotificationRefusal.WrongDigest or NotificationRefusal.WrongLevel))
            {
                break;
            }
        }

        return verdict;
    }

    private static List<UsmCredentials> Users(in UsmMessage message, IReadOnlyList<NotificationSender> senders)
    {
        List<UsmCredentials> users = [];
        foreach (NotificationSender sender in senders)
        {
            if (sender.Credentials is UsmCredentials user
                && user.UserNameBytes.SequenceEqual(message.UserName)
                && users.Count < UsersMax
                && !users.Contains(user))
            {
                users.Add(user);
            }
        }

        return users;
    }

    private NotificationVerdict Try(UsmCredentials user, byte[] datagram, IPAddress address, IReadOnlyList<string> ids)
    {
        UsmMessage.TryRead(datagram, out UsmMessage message);
        if (!HasLevelOf(user, message.Flags))
        {
            return Refused(message, NotificationRefusal.WrongLevel, UsmCounter.UnsupportedSecLevels);
        }

        bool ours = IsOurs(message);
        SenderEngine? sender = ours ? null : senderEngines.Find(message.EngineId, user);
        UsmSession session = sender?.Session ?? engine.SessionOf(user);
        byte[] digest = message.Digest.ToArray();
        if (!UsmEnvelope.IsAuthentic(datagram, message, session))
        {
            return Refused(message, NotificationRefusal.WrongDigest, UsmCounter.WrongDigests);
        }

        if (sender is null)
        {
            if (!engine.IsInTime(message.EngineBoots, message.EngineTime))
            {
                byte[]? report = WantsReport(message) ? _reports.NotInTimeWindow(message, session) : null;
                return NotificationVerdict.Refused(NotificationRefusal.OutsideTimeWindow, report);
            }
        }
        else
        {
            senderEngines.Keep(sender);
            if (!session.Clock.Observe(message.EngineBoots, message.EngineTime))
            {
                return NotificationVerdict.Refused(NotificationRefusal.OutsideTimeWindow);
            }
        }

        NotificationVerdict verdict = Open(datagram, message, session, address, ids);

        // An inform that comes again is answered again, since its answer may have been lost, but it is no news.
        return (sender?.Recent ?? engine.Recent).IsNew(digest) ? verdict : NotificationVerdict.Refused(NotificationRefusal.Repeated, verdict.Reply);
    }

    private NotificationVerdict Open(Span<byte> datagram, in UsmMessage message, UsmSession session, IPAddress address, IReadOnlyList<string> ids)
    {
        // Decrypts in place.
        if (!UsmEnvelope.TryOpen(datagram, message, session, out _) || !ScopeView.TryRead(message.ScopedData, out ScopeView scope))
        {
            NotificationRefusal why = message.Flags.HasFlag(MessageFlags.Encrypted) ? NotificationRefusal.DecryptionError : NotificationRefusal.Malformed;
            return Refused(message, why, UsmCounter.DecryptionErrors);
        }

        bool ours = IsOurs(message);
        if (scope.Pdu.Type != (ours ? PduType.Inform : PduType.Trap))
        {
            return NotificationVerdict.Refused(NotificationRefusal.Unsupported);
        }

        if (!NotificationContent.TryRead(scope.Pdu, address, ids, out SnmpNotification notification))
        {
            return NotificationVerdict.Refused(NotificationRefusal.Malformed);
        }

        return NotificationVerdict.Taken(notification, ours ? _reports.Response(message, session, scope) : null);
    }

    private NotificationVerdict Refused(in UsmMessage message, NotificationRefusal why, UsmCounter counter) =>
        NotificationVerdict.Refused(why, WantsReport(message) ? _reports.Plain(message, counter) : null);

    private bool IsOurs(in UsmMessage message) => message.EngineId.SequenceEqual(engine.Id);

    // Set in everything that waits for an answer, so in informs and never in traps (RFC 3412 section 6.4).
    private static bool WantsReport(in UsmMessage message) => message.Flags.HasFlag(MessageFlags.Reportable);

    // A user without authentication proves nothing, so nothing is taken of it.
    private static bool HasLevelOf(UsmCredentials user, MessageFlags flags) =>
        user.Auth != AuthProtocol.None
        && flags.HasFlag(MessageFlags.Authenticated)
        && flags.HasFlag(MessageFlags.Encrypted) == (user.Privacy != PrivacyProtocol.None);
}
