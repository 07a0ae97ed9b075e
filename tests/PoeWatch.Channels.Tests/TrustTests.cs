using PoeWatch.Channels.Tests.Receivers;
using PoeWatch.Domain.Alarms;
using PoeWatch.Domain.Notices;
using PoeWatch.Monitoring.Abstractions;

namespace PoeWatch.Channels.Tests;

/// <summary>Nothing is told to a receiver that cannot show who it is.</summary>
public sealed class TrustTests
{
    private static CancellationToken Token => TestContext.Current.CancellationToken;

    [Theory]
    [InlineData("webhook", "another authority")]
    [InlineData("mail", "another authority")]
    [InlineData("mail-tls", "another authority")]
    [InlineData("syslog", "another authority")]
    [InlineData("webhook", "another name")]
    [InlineData("mail", "another name")]
    [InlineData("mail-tls", "another name")]
    [InlineData("syslog", "another name")]
    [InlineData("webhook", "expired")]
    [InlineData("mail", "expired")]
    [InlineData("mail-tls", "expired")]
    [InlineData("syslog", "expired")]
    public async Task A_wrong_certificate_is_refused(string kind, string fault)
    {
        using var authority = new TestAuthority();
        using var stranger = new TestAuthority();
        using var certificate = fault switch
        {
            "another authority" => stranger.Issue(),
            "another name" => authority.Issue("elsewhere.example"),
            _ => authority.Issue(isExpired: true),
        };
        var port = FreePort.Take();
        var (receiver, taken) = await Kinds.ReceiverAsync(kind, port, certificate);
        await using (receiver)
        {
            Sending sending = await Kinds.Channel(kind, port, authority, TimeProvider.System).SendAsync(Message(), Token);
            Assert.Equal(SendingResult.Failed, sending.Result);
            Assert.NotEmpty(sending.Problem);
            Assert.Empty(taken());
        }
    }

    [Theory]
    [InlineData("webhook")]
    [InlineData("mail")]
    [InlineData("syslog")]
    public async Task Without_an_authority_of_ones_own_only_the_systems_count(string kind)
    {
        using var authority = new TestAuthority();
        using var certificate = authority.Issue();
        var port = FreePort.Take();
        var (receiver, taken) = await Kinds.ReceiverAsync(kind, port, certificate);
        await using (receiver)
        {
            INoticeChannel channel = Kinds.Channel(kind, port, authority, TimeProvider.System, setting => setting.CaFile = null);
            Assert.Equal(SendingResult.Failed, (await channel.SendAsync(Message(), Token)).Result);
            Assert.Empty(taken());
        }
    }

    [Fact]
    public async Task A_wrong_password_is_told_and_not_printed()
    {
        using var authority = new TestAuthority();
        using var certificate = authority.Issue();
        var port = FreePort.Take();
        await using MailReceiver receiver = MailReceiver.Start(port, certificate);
        INoticeChannel channel = Kinds.Channel("mail", port, authority, TimeProvider.System, setting => setting.PasswordFile = authority.SecretFile("not-the-password"));
        Sending sending = await channel.SendAsync(Message(), Token);
        Assert.Equal(SendingResult.Failed, sending.Result);
        Assert.DoesNotContain("not-the-password", sending.Problem, StringComparison.Ordinal);
        Assert.Empty(receiver.Mails);
    }

    [Fact]
    public async Task A_syslog_receiver_that_dies_with_the_message_unread_has_not_got_it()
    {
        using var authority = new TestAuthority();
        using var certificate = authority.Issue();
        var port = FreePort.Take();
        await using SyslogReceiver receiver = SyslogReceiver.Start(port, certificate, isDropping: true);
        Sending sending = await Kinds.Channel("syslog", port, authority, TimeProvider.System).SendAsync(Message(), Token);
        Assert.Equal(SendingResult.Failed, sending.Result);
    }

    [Fact]
    public async Task A_redirect_is_not_followed()
    {
        using var authority = new TestAuthority();
        using var certificate = authority.Issue();
        var port = FreePort.Take();
        await using WebhookReceiver receiver = await WebhookReceiver.StartAsync(port, certificate);
        INoticeChannel channel = Kinds.Channel("webhook", port, authority, TimeProvider.System, setting => setting.Url = $"https://localhost:{port}/moved");
        Assert.Equal(SendingResult.Failed, (await channel.SendAsync(Message(), Token)).Result);
        Assert.Empty(receiver.Calls);
    }

    internal static NoticeMessage Message(params NoticeContent[] contents)
    {
        NoticeContent[] all = contents.Length > 0 ? contents : [Content()];
        return new NoticeMessage(
            [.. all.Select((c, i) => new Notice(17 + i, new NoticeLane("operator", "out"), c, c.At, all.Length > 1, NoticeState.Waiting, 0, null, ""))],
            new NoticeText(new Uri("https://poewatch.skerryhaven.example/"), TimeZoneInfo.FindSystemTimeZoneById("Europe/Oslo")));
    }

    internal static NoticeContent Content(string kind = AlarmChangeKinds.Raised, AlarmSeverity severity = AlarmSeverity.Major) => new(
        "run/quay-west:1/3",
        AlarmTypes.HeadroomLow,
        kind,
        severity,
        new DateTimeOffset(2026, 11, 25, 21, 4, 5, 120, TimeSpan.Zero),
        new DateTimeOffset(2026, 11, 25, 20, 0, 0, TimeSpan.Zero),
        "pole Quay 3",
        "quay-03",
        "1.2 W left [at the PSE]: draws 24.3 W (measured), limit 25.5 W \"class 4\".",
        "Look at the chart. Caution: a PoE port stays live while the pole is open.",
        "");
}
