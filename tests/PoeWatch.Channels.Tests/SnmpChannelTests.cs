using PoeWatch.Channels.Tests.Receivers;
using PoeWatch.Domain.Alarms;
using PoeWatch.Domain.Notices;
using PoeWatch.Monitoring.Abstractions;
using PoeWatch.Snmp;

namespace PoeWatch.Channels.Tests;

/// <summary>Informs against Net-SNMP's snmptrapd. Names by the ALARM-MIB of RFC 3877: notifications …118.0.2 and …118.0.3, columns 13, 10 and 11 of alarmActiveTable.</summary>
public sealed class SnmpChannelTests
{
    private const string Row = ".0.11.7.234.11.25.20.0.0.0.43.0.0.";

    private static CancellationToken Token => TestContext.Current.CancellationToken;

    [Theory]
    [InlineData("v2c")]
    [InlineData("v3")]
    public async Task A_raise_and_its_clear_arrive_as_acknowledged_informs_of_the_alarm_MIB(string version)
    {
        var port = TrapReceiver.FreePort();
        await using TrapReceiver receiver = TrapReceiver.Start(port);
        await using var channel = new SnmpChannel("out", "127.0.0.1", port, () => (Credentials(version), ""), TimeProvider.System);
        await SentAsync(channel, TrustTests.Message());
        await SentAsync(channel, TrustTests.Message(TrustTests.Content(AlarmChangeKinds.Cleared)));
        await SentAsync(channel, TrustTests.Message(TrustTests.Content(NoticeKinds.Trial, AlarmSeverity.Unknown)));

        // What was not acknowledged in time was sent again, so there may be more lines than messages.
        string[] lines = [.. receiver.Lines.Distinct()];
        Assert.All(lines, line => Assert.StartsWith(
            version == "v2c" ? $"GOT INFORM, SNMP v2c, community {Kinds.Community.Word} |" : "GOT INFORM, SNMP v3, user keeper, context", line, StringComparison.Ordinal));
        var raised = lines.First(l => l.Contains("OID: .1.3.6.1.2.1.118.0.2\t", StringComparison.Ordinal));
        Assert.Contains("GOT INFORM", raised, StringComparison.Ordinal);
        Assert.Contains(".1.3.6.1.2.1.1.3.0 = Timeticks:", raised, StringComparison.Ordinal);
        Assert.Matches($@"\t\.1\.3\.6\.1\.2\.1\.118\.1\.2\.2\.1\.13{Row.Replace(".", "\\.", StringComparison.Ordinal)}[0-9]+ = OID: \.0\.0", raised);
        Assert.Matches($@"\t\.1\.3\.6\.1\.2\.1\.118\.1\.2\.2\.1\.10{Row.Replace(".", "\\.", StringComparison.Ordinal)}[0-9]+ = OID: \.0\.0", raised);
        Assert.Contains("MAJOR raised: headroom-low, run/quay-west:1/3 (pole Quay 3).", raised, StringComparison.Ordinal);
        var cleared = lines.First(l => l.Contains("OID: .1.3.6.1.2.1.118.0.3\t", StringComparison.Ordinal));
        Assert.Contains("cleared (was major): headroom-low", cleared, StringComparison.Ordinal);

        // Raise and clear are of the same row.
        Assert.Equal(RowOf(raised), RowOf(cleared));
    }

    [Fact]
    public async Task Without_an_acknowledgement_it_is_not_sent()
    {
        await using var channel = new SnmpChannel("out", "127.0.0.1", TrapReceiver.FreePort(), () => (Credentials("v2c"), ""), TimeProvider.System);
        Assert.Equal(SendingResult.Failed, (await channel.SendAsync(TrustTests.Message(), Token)).Result);
    }

    [Fact]
    public async Task What_the_MIB_has_no_words_for_is_refused()
    {
        await using var channel = new SnmpChannel("out", "127.0.0.1", 1, () => (Credentials("v2c"), ""), TimeProvider.System);
        Assert.Equal(SendingResult.Refused, (await channel.SendAsync(TrustTests.Message(TrustTests.Content("ack")), Token)).Result);
    }

    // The program may need a moment until it listens; the channel's own lane would try again too.
    private static async Task SentAsync(SnmpChannel channel, NoticeMessage message)
    {
        Sending sending = default;
        for (var attempt = 0; attempt < 30 && sending.Result != SendingResult.Sent; attempt++)
        {
            sending = await channel.SendAsync(message, Token);
        }

        Assert.Equal(Sending.Sent, sending);
    }

    private static SnmpCredentials Credentials(string version) => version == "v2c"
        ? new CommunityCredentials(Kinds.Community.Word)
        : new UsmCredentials(TrapReceiver.User, AuthProtocol.Sha256, TrapReceiver.AuthPassphrase, PrivacyProtocol.Aes128, TrapReceiver.PrivacyPassphrase, "");

    private static string RowOf(string line) => line[(line.IndexOf(Row, StringComparison.Ordinal) + Row.Length)..].Split(' ')[0];
}
