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

    // Severities: ItuPerceivedSeverity of RFC 3877. DateAndTime 2026-11-25,21:4:5.1,+0:0: RFC 2579; Net-SNMP shows its eleven octets in hexadecimal.
    [Fact]
    public async Task Below_an_arc_of_one_s_own_everything_can_be_told()
    {
        const string Arc = ".1.3.6.1.4.1.32473.1";
        var port = TrapReceiver.FreePort();
        await using TrapReceiver receiver = TrapReceiver.Start(port);
        await using var channel = new SnmpChannel(
            "out", "127.0.0.1", port, () => (Credentials("v2c"), ""), TimeProvider.System, new ArcNotification(ArcNotification.Read(Arc[1..], isLoopback: true, out _)!.Value));
        (string Kind, AlarmSeverity Severity, string Event, int Told)[] all =
        [
            (AlarmChangeKinds.Raised, AlarmSeverity.Major, "1", 4), (AlarmChangeKinds.SeverityChanged, AlarmSeverity.Critical, "1", 3), (AlarmChangeKinds.Cleared, AlarmSeverity.Critical, "2", 1),
            ("ack", AlarmSeverity.Warning, "3", 6), (NoticeKinds.News, AlarmSeverity.Unknown, "4", 2), (NoticeKinds.Trial, AlarmSeverity.Unknown, "5", 2),
        ];
        foreach (var (kind, severity, _, _) in all)
        {
            await SentAsync(channel, TrustTests.Message(TrustTests.Content(kind, severity)));
        }

        string[] lines = [.. receiver.Lines.DistinctBy(line => line[line.IndexOf("4.1.0 = OID", StringComparison.Ordinal)..])];
        Assert.Equal(all.Length, lines.Length);
        foreach (var ((kind, _, number, told), line) in all.Zip(lines))
        {
            Assert.Contains($".1.3.6.1.6.3.1.1.4.1.0 = OID: {Arc}.0.{number}\t", line, StringComparison.Ordinal);
            Assert.Contains($"{Arc}.1.2.0 = STRING: \"{kind}\"", line, StringComparison.Ordinal);
            Assert.Contains($"{Arc}.1.3.0 = INTEGER: {told}\t", line, StringComparison.Ordinal);
            Assert.Contains($"{Arc}.1.4.0 = STRING: \"run/quay-west:1/3\"", line, StringComparison.Ordinal);
            Assert.Contains($"{Arc}.1.6.0 = STRING: \"pole Quay 3\"", line, StringComparison.Ordinal);
            Assert.Matches($@"{Arc.Replace(".", "\\.", StringComparison.Ordinal)}\.1\.7\.0 = Hex-STRING: 07 EA 0B 19 15 04 05 01 2B 00 00", line);
        }
    }

    [Fact]
    public void An_inform_below_an_arc_fits_into_a_datagram_however_long_its_texts_are()
    {
        var longest = TrustTests.Content() with { Text = new string('ø', 2000), Place = new string('p', 900), Resource = new string('r', 400), Who = new string('w', 300) };
        var bindings = new ArcNotification(Oid.Parse("1.3.6.1.4.1.4294967295.4294967295")).Of(TrustTests.Message(longest).Notices[0], TimeSpan.MaxValue);

        // Name, value and eight octets of tags and lengths each (X.690); 200 octets for the headers of SNMPv3.
        Assert.InRange(bindings.Sum(b => NameOctets(b.Oid) + (b.Value.TryGetOctets(out var octets) ? octets.Length : 25) + 8), 900, 1472 - 200);
    }

    // X.690, 8.19: seven bits an octet.
    private static int NameOctets(Oid oid) => oid.ToString().Split('.').Select(uint.Parse).Sum(part => Math.Max(1, (38 - System.Numerics.BitOperations.LeadingZeroCount(part)) / 7));

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
