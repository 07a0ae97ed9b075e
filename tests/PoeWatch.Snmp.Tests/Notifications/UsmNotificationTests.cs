using PoeWatch.Snmp.Codec;
using PoeWatch.Snmp.Notifications;

namespace PoeWatch.Snmp.Tests.Notifications;

/// <summary>v3 traps and informs by RFC 3414 section 3.2.</summary>
public sealed class UsmNotificationTests
{
    private static readonly Oid LinkDown = Oid.Parse("1.3.6.1.6.3.1.1.5.3");
    private readonly NotificationBench _bench = new();

    [Fact]
    public void Another_implementations_trap_is_believed_and_read()
    {
        NotificationVerdict verdict = _bench.Read(CapturedNotifications.Trap3, CapturedNotifications.Watch());

        Assert.Equal(Oid.Parse("1.3.6.1.2.1.105.0.1"), verdict.Notification!.Kind);
        Assert.Equal(["agent-0"], verdict.Notification.SenderIds);
        Assert.False(verdict.Notification.IsInform);
        Assert.Equal(new VarBind(Oid.Parse("1.3.6.1.2.1.105.1.1.1.6.1.7"), SnmpValue.Integer32(3)), verdict.Notification.VarBinds[0]);
        Assert.Null(verdict.Reply);
    }

    [Fact]
    public void A_wrong_passphrase_a_wrong_user_and_a_lower_level_are_refused()
    {
        Assert.Equal(NotificationRefusal.WrongDigest, _bench.Read(CapturedNotifications.Trap3, CapturedNotifications.Watch("another-passphrase")).Refusal);
        Assert.Equal(NotificationRefusal.DecryptionError, _bench.Read(CapturedNotifications.Trap3, CapturedNotifications.Watch(privacyPassphrase: "another-passphrase")).Refusal);
        Assert.Equal(NotificationRefusal.UnknownUser, _bench.Read(CapturedNotifications.Trap3, new UsmCredentials("other", AuthProtocol.Sha1, "salt-and-water")).Refusal);
        Assert.Equal(NotificationRefusal.UnknownUser, _bench.Read(CapturedNotifications.Trap3, new CommunityCredentials("watch")).Refusal);
    }

    [Theory]
    [InlineData((byte)MessageFlags.None)]
    [InlineData((byte)MessageFlags.Authenticated)]
    public void A_message_below_the_level_of_the_credentials_is_refused(byte flags)
    {
        byte[] lower = _bench.Message(CapturedNotifications.Watch(), NotificationBench.AgentEngine, (1, 50), flags: (MessageFlags)flags);

        Assert.Equal(NotificationRefusal.WrongLevel, _bench.Read(lower, CapturedNotifications.Watch()).Refusal);
        Assert.Equal(0, _bench.Senders.Count);
    }

    [Fact]
    public void A_user_without_authentication_proves_nothing()
    {
        var open = new UsmCredentials("watch");
        byte[] trap = _bench.Message(open, NotificationBench.AgentEngine, (1, 50), flags: MessageFlags.None);

        Assert.Equal(NotificationRefusal.WrongLevel, _bench.Read(trap, open).Refusal);
    }

    [Fact]
    public void Every_changed_octet_of_a_trap_is_noticed()
    {
        byte[] whole = CapturedNotifications.Trap3;
        for (int i = 0; i < whole.Length; i++)
        {
            byte[] changed = CapturedNotifications.Trap3;
            changed[i] ^= 0x01;

            Assert.Null(new NotificationBench().Read(changed, CapturedNotifications.Watch()).Notification);
        }
    }

    [Fact]
    public void A_trap_that_comes_again_is_refused_within_the_window_and_after_it()
    {
        byte[] first = _bench.Message(CapturedNotifications.Watch(), NotificationBench.AgentEngine, (4, 1000));
        Assert.NotNull(_bench.Read(first, CapturedNotifications.Watch()).Notification);
        Assert.Equal(NotificationRefusal.Repeated, _bench.Read(first, CapturedNotifications.Watch()).Refusal);

        // RFC 3414 section 3.2 step 7b: more than 150 s behind what the engine's time should be now.
        _bench.Time.Advance(TimeSpan.FromSeconds(151));
        Assert.Equal(NotificationRefusal.OutsideTimeWindow, _bench.Read(first, CapturedNotifications.Watch()).Refusal);

        byte[] beforeBoot = _bench.Message(CapturedNotifications.Watch(), NotificationBench.AgentEngine, (3, 9000));
        Assert.Equal(NotificationRefusal.OutsideTimeWindow, _bench.Read(beforeBoot, CapturedNotifications.Watch()).Refusal);
        byte[] afterBoot = _bench.Message(CapturedNotifications.Watch(), NotificationBench.AgentEngine, (5, 3));
        Assert.NotNull(_bench.Read(afterBoot, CapturedNotifications.Watch()).Notification);
    }

    [Fact]
    public void Agents_with_the_same_credentials_at_one_address_are_all_named_and_others_are_not()
    {
        NotificationVerdict verdict = _bench.Read(
            CapturedNotifications.Trap3, CapturedNotifications.Watch("another-passphrase"), CapturedNotifications.Watch(), new CommunityCredentials("x"), CapturedNotifications.Watch());

        Assert.Equal(["agent-1", "agent-3"], verdict.Notification!.SenderIds);
    }

    [Fact]
    public void Whoever_asks_for_our_engine_is_told_id_boots_and_time()
    {
        _bench.Time.Advance(TimeSpan.FromSeconds(42));
        byte[] search = _bench.Message(new UsmCredentials("x"), [], (0, 0), PduType.Get, MessageFlags.Reportable);

        NotificationVerdict verdict = _bench.Read(search, CapturedNotifications.Watch());

        Assert.Null(verdict.Refusal);
        Assert.True(UsmMessage.TryRead(verdict.Reply, out UsmMessage report));
        Assert.Equal(NotificationBench.OurEngine, report.EngineId.ToArray());
        Assert.Equal((3, 42), (report.EngineBoots, report.EngineTime));

        // usmStatsUnknownEngineIDs.0, RFC 3414 section 5.
        var (type, requestId, varBinds) = _bench.Open(verdict.Reply!, new UsmCredentials("x"));
        Assert.Equal((PduType.Report, 77, Oid.Parse("1.3.6.1.6.3.15.1.1.4.0")), (type, requestId, varBinds[0].Oid));
    }

    [Fact]
    public void An_inform_within_our_time_is_taken_and_answered_with_its_own_variables()
    {
        _bench.Time.Advance(TimeSpan.FromSeconds(500));
        NotificationVerdict verdict = _bench.Read(_bench.Inform(CapturedNotifications.Watch(), (3, 450)), CapturedNotifications.Watch());

        Assert.True(verdict.Notification!.IsInform);
        Assert.Equal(LinkDown, verdict.Notification.Kind);
        var (type, requestId, varBinds) = _bench.Open(verdict.Reply!, CapturedNotifications.Watch());
        Assert.Equal((PduType.Response, 77, 2), (type, requestId, varBinds.Length));
        Assert.Equal(SnmpValue.ObjectIdentifier(LinkDown), varBinds[1].Value);
    }

    [Theory]
    [InlineData(3, 349)]
    [InlineData(3, 651)]
    [InlineData(2, 500)]
    [InlineData(4, 500)]
    [InlineData(0, 0)]
    public void An_inform_outside_of_our_time_gets_a_signed_report_that_sets_its_clock(int boots, int time)
    {
        _bench.Time.Advance(TimeSpan.FromSeconds(500));
        NotificationVerdict verdict = _bench.Read(_bench.Inform(CapturedNotifications.Watch(), (boots, time)), CapturedNotifications.Watch());

        Assert.Equal(NotificationRefusal.OutsideTimeWindow, verdict.Refusal);
        Assert.True(UsmMessage.TryRead(verdict.Reply, out UsmMessage report));
        Assert.Equal((3, 500, MessageFlags.Authenticated), (report.EngineBoots, report.EngineTime, report.Flags));
        var (type, _, varBinds) = _bench.Open(verdict.Reply!, CapturedNotifications.Watch());
        Assert.Equal((PduType.Report, Oid.Parse("1.3.6.1.6.3.15.1.1.2.0")), (type, varBinds[0].Oid));
    }

    [Fact]
    public void An_inform_that_comes_again_is_answered_again_and_is_no_news()
    {
        byte[] inform = _bench.Inform(CapturedNotifications.Watch(), (3, 0));
        _bench.Read(inform, CapturedNotifications.Watch());

        NotificationVerdict again = _bench.Read(inform, CapturedNotifications.Watch());

        Assert.Equal(NotificationRefusal.Repeated, again.Refusal);
        Assert.Equal(PduType.Response, _bench.Open(again.Reply!, CapturedNotifications.Watch()).Type);
    }

    [Theory]
    [InlineData(PduType.Get)]
    [InlineData(PduType.GetBulk)]
    [InlineData(PduType.Response)]
    public void Nothing_but_informs_is_served_at_our_engine(object type)
    {
        byte[] request = _bench.Message(
            CapturedNotifications.Watch(), NotificationBench.OurEngine, (3, 0), (PduType)type,
            MessageFlags.Authenticated | MessageFlags.Encrypted | MessageFlags.Reportable);

        NotificationVerdict verdict = _bench.Read(request, CapturedNotifications.Watch());

        Assert.Equal((NotificationRefusal.Unsupported, null), (verdict.Refusal, verdict.Reply));
    }

    [Fact]
    public void After_a_rotation_only_the_new_passphrase_counts()
    {
        UsmCredentials fresh = CapturedNotifications.Watch("another-passphrase");
        Assert.NotNull(_bench.Read(_bench.Message(CapturedNotifications.Watch(), NotificationBench.AgentEngine, (4, 1000)), CapturedNotifications.Watch()).Notification);

        Assert.Equal(NotificationRefusal.WrongDigest, _bench.Read(_bench.Message(CapturedNotifications.Watch(), NotificationBench.AgentEngine, (4, 1001)), fresh).Refusal);
        Assert.NotNull(_bench.Read(_bench.Message(fresh, NotificationBench.AgentEngine, (4, 1002)), fresh).Notification);

        Assert.Equal(1, _bench.Senders.Count);
    }

    [Fact]
    public void Forged_engines_are_not_remembered()
    {
        for (byte i = 0; i < 200; i++)
        {
            byte[] forged = _bench.Message(CapturedNotifications.Watch("another-passphrase"), [0x80, 0, 0, 0, 5, 7, 7, i], (1, 1));
            Assert.Equal(NotificationRefusal.WrongDigest, _bench.Read(forged, CapturedNotifications.Watch()).Refusal);
        }

        Assert.Equal(0, _bench.Senders.Count);
    }
}
