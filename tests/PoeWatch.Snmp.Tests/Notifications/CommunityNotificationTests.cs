using System.Net;
using PoeWatch.Snmp.Notifications;

namespace PoeWatch.Snmp.Tests.Notifications;

/// <summary>v2c traps and informs.</summary>
public sealed class CommunityNotificationTests
{
    private static readonly IPAddress Address = IPAddress.Parse("192.0.2.10");

    [Fact]
    public void Another_implementations_trap_is_read()
    {
        NotificationVerdict verdict = Read(CapturedNotifications.Trap2c, CapturedNotifications.Community);

        // 0x1267 hundredths of a second, as captured.
        Assert.Equal(TimeSpan.FromSeconds(47.11), verdict.Notification!.UpTime);
        Assert.Equal(Oid.Parse("1.3.6.1.2.1.105.0.1"), verdict.Notification.Kind);
        Assert.Equal([new VarBind(Oid.Parse("1.3.6.1.2.1.105.1.1.1.6.1.7"), SnmpValue.Integer32(3))], verdict.Notification.VarBinds);
        Assert.Null(verdict.Reply);
    }

    [Fact]
    public void Another_community_is_refused_and_a_community_where_the_agent_uses_v3_too()
    {
        Assert.Equal(NotificationRefusal.WrongCommunity, Read(CapturedNotifications.Trap2c, "harbour-trap").Refusal);
        NotificationVerdict lower = CommunityNotifications.Read(
            CapturedNotifications.Trap2c, Address, [new NotificationSender("a", CapturedNotifications.Watch())]);
        Assert.Equal(NotificationRefusal.WrongCommunity, lower.Refusal);
    }

    [Fact]
    public void An_inform_is_answered_with_its_own_id_and_variables()
    {
        // The captured trap with the PDU's tag changed to InformRequest (RFC 3416: the same content).
        byte[] inform = CapturedNotifications.Trap2c;
        inform[Array.IndexOf(inform, (byte)0xA7)] = 0xA6;

        NotificationVerdict verdict = Read(inform, CapturedNotifications.Community);

        Assert.True(verdict.Notification!.IsInform);
        byte[] expected = [.. inform];
        expected[Array.IndexOf(expected, (byte)0xA6)] = 0xA2;
        Assert.Equal(expected, verdict.Reply);
    }

    [Theory]
    [InlineData(0xA0)]
    [InlineData(0xA1)]
    [InlineData(0xA2)]
    [InlineData(0xA5)]
    [InlineData(0xA8)]
    public void Another_pdu_is_not_served(byte tag)
    {
        byte[] other = CapturedNotifications.Trap2c;
        other[Array.IndexOf(other, (byte)0xA7)] = tag;

        NotificationVerdict verdict = Read(other, CapturedNotifications.Community);

        Assert.Equal((NotificationRefusal.Unsupported, null), (verdict.Refusal, verdict.Reply));
    }

    [Fact]
    public void A_trap_that_does_not_begin_with_up_time_and_kind_is_malformed()
    {
        // sysUpTime.0 becomes sysContact.0.
        byte[] other = CapturedNotifications.Trap2c;
        other[other.AsSpan().IndexOf((ReadOnlySpan<byte>)[0x2b, 6, 1, 2, 1, 1, 3, 0]) + 6] = 4;

        Assert.Equal(NotificationRefusal.Malformed, Read(other, CapturedNotifications.Community).Refusal);
    }

    [Fact]
    public void No_part_of_a_trap_is_taken_for_a_whole_one()
    {
        byte[] whole = CapturedNotifications.Trap2c;
        for (int length = 0; length < whole.Length; length++)
        {
            Assert.Equal(NotificationRefusal.Malformed, Read(whole[..length], CapturedNotifications.Community).Refusal);
        }
    }

    private static NotificationVerdict Read(byte[] datagram, string community) =>
        CommunityNotifications.Read(datagram, Address, [new NotificationSender("a", new CommunityCredentials(community))]);
}
