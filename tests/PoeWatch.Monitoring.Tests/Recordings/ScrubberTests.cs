using System.Net;
using PoeWatch.Domain.DrawSheets;
using PoeWatch.Monitoring.Recordings;
using PoeWatch.Snmp;

namespace PoeWatch.Monitoring.Tests.Recordings;

/// <summary>What a scrubbed recording still tells. Objects: RFC 3418, RFC 2863, RFC 6933, LLDP-MIB (IEEE 802.1AB).</summary>
public sealed class ScrubberTests
{
    private const string SystemText = "1.3.6.1.2.1.1.1.0";
    private const string Contact = "1.3.6.1.2.1.1.4.0";
    private const string SystemName = "1.3.6.1.2.1.1.5.0";
    private const string Place = "1.3.6.1.2.1.1.6.0";
    private const string InterfaceName = "1.3.6.1.2.1.31.1.1.1.1.7";
    private const string Alias = "1.3.6.1.2.1.31.1.1.1.18.7";
    private const string Serial = "1.3.6.1.2.1.47.1.1.1.1.11.1";
    private const string LocalChassis = "1.0.8802.1.1.2.1.3.2.0";
    private const string LocalName = "1.0.8802.1.1.2.1.3.3.0";
    private const string RemoteChassis = "1.0.8802.1.1.2.1.4.1.1.5.0.7.1";
    private const string RemotePort = "1.0.8802.1.1.2.1.4.1.1.7.0.7.1";
    private const string RemoteName = "1.0.8802.1.1.2.1.4.1.1.9.0.7.1";
    private static readonly byte[] s_mac = [0x00, 0x1b, 0x21, 0xaa, 0xbb, 0xcc];

    [Fact]
    public void The_same_name_gets_the_same_placeholder_and_different_names_different_ones()
    {
        var cells = Scrub((SystemName, Text("quay-west")), (LocalName, Text("quay-west")), (RemoteName, Text("cam-ramp")), (Alias, Text("cam-ramp")));

        Assert.Equal(cells[SystemName], cells[LocalName]);
        Assert.Equal(cells[Alias], cells[RemoteName]);
        Assert.NotEqual(cells[SystemName], cells[Alias]);
    }

    [Fact]
    public void Nothing_that_names_somebody_is_left()
    {
        var cells = Scrub(
            (SystemText, Text("Quay-West, asset of Ada Keeper, 192.0.2.77, 001b.21aa.bbcc, Version 3")), (Contact, Text("Ada Keeper")), (SystemName, Text("quay-west")),
            (Place, Text("Skerry Haven, shed 4")), (Serial, Text("SN4711-0815")), (LocalChassis, SnmpValue.Octets(s_mac)), (RemotePort, Text("00:1B:21:AA:BB:CC")),
            ("1.3.6.1.2.1.4.20.1.1.192.0.2.77", SnmpValue.IpAddress(IPAddress.Parse("192.0.2.77"))), ("1.3.6.1.4.1.32473.9.1.0", Text("cliff road 5")),
            ("1.0.8802.1.1.2.1.4.2.1.3.0.7.1.1.4.192.0.2.9", SnmpValue.Integer32(2)), ("1.3.6.1.4.1.32473.9.2.0", SnmpValue.IpAddress(IPAddress.Parse("192.0.2.78"))),
            ("1.3.6.1.4.1.32473.9.3.0", SnmpValue.Octets([1, 192, 0, 2, 79])));

        var all = SnmprecText.Write(Recording([.. cells.Select(c => (c.Key, c.Value))]), []);
        foreach (var secret in new[] { "uay", "Ada", "Skerry", "shed", "4711", "192.0.2", "cliff", "aabbcc", "AA:BB", "bbcc", "c000024" })
        {
            Assert.DoesNotContain(secret, all, StringComparison.OrdinalIgnoreCase);
        }

        Assert.Contains("Version 3", all, StringComparison.Ordinal);
    }

    [Fact]
    public void An_address_stays_the_same_address_in_octets_and_in_every_way_of_writing()
    {
        var cells = Scrub((LocalChassis, SnmpValue.Octets(s_mac)), (RemoteChassis, Text("00:1B:21:AA:BB:CC")), (RemotePort, Text("001b21aabbcc")));

        Assert.True(cells[LocalChassis].TryGetOctets(out ReadOnlySpan<byte> octets));
        var digits = Convert.ToHexStringLower(octets);
        Assert.Equal(0x02, octets[0] & 0x03);
        Assert.Equal(Text(string.Join(':', Enumerable.Range(0, 6).Select(i => digits.Substring(2 * i, 2)))), cells[RemoteChassis]);
        Assert.Equal(Text(digits), cells[RemotePort]);
    }

    [Fact]
    public void What_a_replay_needs_stays()
    {
        const string Sheet = "1.3.6.1.4.1.32473.7.1.4.1.7";
        var book = new SheetBook([new DrawSheet("quay", "M", "test", [], [new SheetColumn(SheetQuantity.Draw, "1.3.6.1.4.1.32473.7.1.4", SheetUnit.Watt, SheetIndex.GroupAndPort, true)], ClassCoding.ClassPlusOne, [], true)]);
        (string, SnmpValue)[] kept =
        [
            (InterfaceName, Text("Gi1/0/7")), (RemotePort, Text("Gi1/0/7")), (Sheet, Text("12.4 W of 30")), ("1.3.6.1.4.1.32473.8.1.7", Text("12.4")),
            ("1.3.6.1.2.1.105.1.1.1.6.1.7", SnmpValue.Integer32(3)), ("1.3.6.1.2.1.1.2.0", SnmpValue.ObjectIdentifier(Oid.Parse("1.3.6.1.4.1.32473.1"))),
            ("1.0.8802.1.1.2.1.4.1.1.12.0.7.1", SnmpValue.Octets([0x28])), (Alias, Text("")),
        ];

        AgentRecording scrubbed = Scrubber.Scrub(Recording(kept), book);

        Assert.Equal(kept.ToDictionary(k => k.Item1, k => k.Item2), scrubbed.Cells.ToDictionary(c => c.Oid.ToString(), c => c.Value));
        Assert.Empty(scrubbed.Missing);
    }

    [Fact]
    public void Texts_of_makers_trees_go_even_where_nothing_else_is_scrubbed()
    {
        AgentRecording recording = Scrubber.HideMakersTexts(
            Recording((SystemName, Text("quay-west")), ("1.3.6.1.4.1.32473.9.1.0", Text("hunter2-hunter2")), ("1.3.6.1.4.1.32473.8.1.7", Text("12.4"))), SheetBook.Empty);

        Assert.Equal([Text("quay-west"), Text("12.4"), Text("text-1")], recording.Cells.Select(c => c.Value));
    }

    [Fact]
    public void What_was_left_out_is_told_and_is_no_failure()
    {
        AgentRecording scrubbed = Scrubber.Scrub(Recording(("1.3.6.1.2.1.4.20.1.1.192.0.2.77", SnmpValue.Integer32(1))), SheetBook.Empty);

        Assert.Empty(scrubbed.Cells);
        Assert.False(Assert.Single(scrubbed.Missing).IsFailure);
    }

    private static SnmpValue Text(string text) => SnmpValue.Text(text);

    private static AgentRecording Recording(params (string Oid, SnmpValue Value)[] cells) =>
        new("", [.. cells.Select(c => new VarBind(Oid.Parse(c.Oid), c.Value)).OrderBy(c => c.Oid)], []);

    private static Dictionary<string, SnmpValue> Scrub(params (string Oid, SnmpValue Value)[] cells) =>
        Scrubber.Scrub(Recording(cells), SheetBook.Empty).Cells.ToDictionary(c => c.Oid.ToString(), c => c.Value);
}
