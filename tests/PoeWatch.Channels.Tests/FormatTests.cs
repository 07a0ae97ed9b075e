using System.Diagnostics;
using System.Globalization;
using System.Text.Json;
using System.Text.RegularExpressions;
using PoeWatch.Channels.Tests.Receivers;
using PoeWatch.Domain.Alarms;
using PoeWatch.Monitoring.Abstractions;
using SmtpServer.Protocol;

namespace PoeWatch.Channels.Tests;

/// <summary>What goes over the wire, held against RFCs and programs that are not ours.</summary>
public sealed partial class FormatTests
{
    private static CancellationToken Token => TestContext.Current.CancellationToken;

    // RFC 4231 section 4.3, test case 2: key "Jefe", data "what do ya want for nothing?". Ours puts a time and a full stop before the body, so the data is cut there.
    [Fact]
    public void Signatures_are_HMAC_SHA_256_as_RFC_4231_has_it()
    {
        using var hmac = new System.Security.Cryptography.HMACSHA256("Jefe"u8.ToArray());
        Assert.Equal("5bdcc146bf60754e6a042426089575c75a003f089d2739839dec58b964ec3843", Convert.ToHexStringLower(hmac.ComputeHash("what do ya want for nothing?"u8.ToArray())));
        Assert.Equal(
            $"v1={Convert.ToHexStringLower(hmac.ComputeHash("7.what do ya want for nothing?"u8.ToArray()))}", WebhookSignature.Of("Jefe", 7, "what do ya want for nothing?"u8));
    }

    // openssl computes the same from the headers and the body as they came: the example of docs/notices.md.
    [Fact]
    public async Task A_webhook_is_verified_by_openssl_and_tells_the_whole_notice()
    {
        using var authority = new TestAuthority();
        using var certificate = authority.Issue();
        var port = FreePort.Take();
        await using WebhookReceiver receiver = await WebhookReceiver.StartAsync(port, certificate);
        var time = new Microsoft.Extensions.Time.Testing.FakeTimeProvider(new DateTimeOffset(2026, 11, 25, 21, 5, 0, TimeSpan.Zero));
        INoticeChannel channel = Kinds.Channel("webhook", port, authority, time);
        Assert.Equal(Sending.Sent, await channel.SendAsync(TrustTests.Message(TrustTests.Content() with { Text = "Zoë: 24.3 W" }), Token));

        WebhookCall call = Assert.Single(receiver.Calls);
        Assert.Equal("1795640700", call.Time);
        Assert.Equal($"v1={await OpensslAsync(Kinds.Secret, [.. System.Text.Encoding.ASCII.GetBytes(call.Time + "."), .. call.Body])}", call.Signature);
        JsonElement notice = Assert.Single(call.Notices);
        Assert.Equal(17, notice.GetProperty("id").GetInt64());
        Assert.Equal("raised", notice.GetProperty("kind").GetString());
        Assert.Equal("major", notice.GetProperty("severity").GetString());
        Assert.Equal("2026-11-25T21:04:05.120Z", notice.GetProperty("at").GetString());
        Assert.Equal("pole Quay 3", notice.GetProperty("place").GetString());
        Assert.Equal("Zoë: 24.3 W", notice.GetProperty("text").GetString());
        Assert.Equal("https://poewatch.skerryhaven.example/#pole=quay-03", notice.GetProperty("url").GetString());
        Assert.Equal(JsonValueKind.Null, notice.GetProperty("who").ValueKind);
    }

    [Fact]
    public async Task A_mail_says_what_where_since_when_what_to_do_and_where_to_look()
    {
        using var authority = new TestAuthority();
        using var certificate = authority.Issue();
        var port = FreePort.Take();
        await using MailReceiver receiver = MailReceiver.Start(port, certificate);
        INoticeChannel channel = Kinds.Channel("mail", port, authority, TimeProvider.System);
        Assert.Equal(Sending.Sent, await channel.SendAsync(TrustTests.Message(), Token));
        Assert.Equal(Sending.Sent, await channel.SendAsync(TrustTests.Message(), Token));

        var mail = receiver.Mails[0];
        Assert.Equal("MAJOR raised: headroom-low, run/quay-west:1/3 (pole Quay 3)", mail.Subject);
        Assert.Equal("poewatch@skerryhaven.example", mail.From.Mailboxes.Single().Address);
        Assert.Equal("desk@skerryhaven.example", mail.To.Mailboxes.Single().Address);
        Assert.Equal(
            $"""
            MAJOR raised: headroom-low, run/quay-west:1/3 (pole Quay 3)
            What: 1.2 W left [at the PSE]: draws 24.3 W (measured), limit 25.5 W "class 4".
            Where: run/quay-west:1/3, pole Quay 3
            When: 2026-11-25 22:04:05 +01:00 at the site (2026-11-25T21:04:05Z)
            Active since: 2026-11-25 21:00:00 +01:00 at the site (2026-11-25T20:00:00Z)
            Likely causes: {string.Join("; ", AlarmTypeTable.Find(AlarmTypes.HeadroomLow)!.Causes)}
            What to do: Look at the chart. Caution: a PoE port stays live while the pole is open.
            Look at: https://poewatch.skerryhaven.example/#pole=quay-03
            Notice 17 for operator; one that comes twice has the same number.
            """.ReplaceLineEndings("\n"),
            mail.TextBody!.ReplaceLineEndings("\n").TrimEnd());

        // RFC 5322 section 3.6.4: one message, one id; a repetition is the same message.
        Assert.Equal(mail.MessageId, receiver.Mails[1].MessageId);
        Assert.Equal("auto-generated", mail.Headers["Auto-Submitted"]);
    }

    // RFC 5321 section 4.2.1: 5yz is for good, 4yz is for now.
    [Theory]
    [InlineData(554, SendingResult.Refused)]
    [InlineData(452, SendingResult.Failed)]
    public async Task A_mail_server_that_says_no_for_good_is_told_from_one_that_says_not_now(int code, SendingResult expected)
    {
        using var authority = new TestAuthority();
        using var certificate = authority.Issue();
        var port = FreePort.Take();
        await using MailReceiver receiver = MailReceiver.Start(port, certificate, answer: new SmtpResponse((SmtpReplyCode)code, "no"));
        Sending sending = await Kinds.Channel("mail", port, authority, TimeProvider.System).SendAsync(TrustTests.Message(), Token);
        Assert.Equal(expected, sending.Result);
    }

    // The grammar of RFC 5424 section 6, and the SD-ID of RFC 5674 section 3 with its three mandatory parameters.
    [Theory]
    [InlineData(AlarmChangeKinds.Raised, AlarmSeverity.Critical, 129, "critical")]
    [InlineData(AlarmChangeKinds.Raised, AlarmSeverity.Major, 130, "major")]
    [InlineData(AlarmChangeKinds.SeverityChanged, AlarmSeverity.Minor, 131, "minor")]
    [InlineData(AlarmChangeKinds.Raised, AlarmSeverity.Warning, 132, "warning")]
    [InlineData(AlarmChangeKinds.Cleared, AlarmSeverity.Critical, 133, "cleared")]
    public async Task Syslog_messages_are_those_of_RFC_5424_with_the_alarm_element_of_RFC_5674(string kind, AlarmSeverity severity, int priority, string perceived)
    {
        using var authority = new TestAuthority();
        using var certificate = authority.Issue();
        var port = FreePort.Take();
        await using SyslogReceiver receiver = SyslogReceiver.Start(port, certificate);
        INoticeChannel channel = Kinds.Channel("syslog", port, authority, TimeProvider.System);
        Assert.Equal(Sending.Sent, await channel.SendAsync(TrustTests.Message(TrustTests.Content(kind, severity) with { Resource = "switch/a\"b]c\\d" }), Token));

        Match match = Syslog().Match(Assert.Single(receiver.Messages));
        Assert.True(match.Success);
        Assert.Equal(priority.ToString(CultureInfo.InvariantCulture), match.Groups["pri"].Value);
        Assert.Equal("2026-11-25T21:04:05.120000Z", match.Groups["time"].Value);
        Assert.Equal("poewatch", match.Groups["app"].Value);
        Assert.Equal(kind, match.Groups["id"].Value);
        Assert.Contains("[meta sequenceId=\"17\"]", match.Groups["sd"].Value, StringComparison.Ordinal);
        Assert.Contains("[alarm resource=\"switch/a\\\"b\\]c\\\\d\" probableCause=\"other\" perceivedSeverity=\"" + perceived + "\"", match.Groups["sd"].Value, StringComparison.Ordinal);
        Assert.Contains("headroom-low", match.Groups["msg"].Value, StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_digest_is_one_mail_one_post_and_a_line_each()
    {
        using var authority = new TestAuthority();
        using var certificate = authority.Issue();
        NoticeMessage digest = TrustTests.Message(TrustTests.Content(severity: AlarmSeverity.Minor), TrustTests.Content(AlarmChangeKinds.Cleared, AlarmSeverity.Minor));
        foreach ((string kind, int texts) in new[] { ("webhook", 2), ("mail", 1), ("syslog", 2) })
        {
            var port = FreePort.Take();
            var (receiver, taken) = await Kinds.ReceiverAsync(kind, port, certificate);
            await using (receiver)
            {
                Assert.Equal(Sending.Sent, await Kinds.Channel(kind, port, authority, TimeProvider.System).SendAsync(digest, Token));
                Assert.Equal(texts, taken().Count);
            }
        }
    }

    private static async Task<string> OpensslAsync(string key, byte[] data)
    {
        var start = new ProcessStartInfo("openssl") { RedirectStandardInput = true, RedirectStandardOutput = true };
        foreach (var argument in new[] { "dgst", "-sha256", "-mac", "HMAC", "-macopt", $"key:{key}", "-hex" })
        {
            start.ArgumentList.Add(argument);
        }

        using Process openssl = Process.Start(start)!;
        await openssl.StandardInput.BaseStream.WriteAsync(data, Token);
        openssl.StandardInput.Close();
        var said = await openssl.StandardOutput.ReadToEndAsync(Token);
        await openssl.WaitForExitAsync(Token);
        return said.Split(' ')[^1].Trim();
    }

    [GeneratedRegex(
        "^<(?<pri>[0-9]{1,3})>1 (?<time>[0-9]{4}-[0-9]{2}-[0-9]{2}T[0-9]{2}:[0-9]{2}:[0-9]{2}(\\.[0-9]{1,6})?(Z|[+-][0-9]{2}:[0-9]{2})) (?<host>[!-~]{1,255}) (?<app>[!-~]{1,48}) (?<proc>[!-~]{1,128}) (?<id>[!-~]{1,32}) "
        + "(?<sd>(\\[[!#-<>-\\\\^-~]{1,32}( [!#-<>-\\\\^-~]{1,32}=\"([^\"\\]\\\\]|\\\\[\"\\]\\\\])*\")*\\])+) \uFEFF(?<msg>.*)$",
        RegexOptions.ExplicitCapture)]
    private static partial Regex Syslog();
}
