using PoeWatch.Domain.DrawSheets;
using PoeWatch.Domain.Readings;
using PoeWatch.Monitoring.Polling.DrawSources;
using PoeWatch.Monitoring.Polling.Interfaces;
using PoeWatch.Monitoring.Tests.Polling.DrawSources;
using PoeWatch.Snmp;

namespace PoeWatch.Monitoring.Tests.Polling.Interfaces;

/// <summary>Objects and codes: IF-MIB (RFC 2863), BRIDGE-MIB (RFC 4188), Q-BRIDGE-MIB (RFC 4363), LLDP-MIB and LLDP-EXT-DOT3-MIB (IEEE 802.1AB-2005), ENTITY-MIB (RFC 6933).</summary>
public class EvidenceReaderTests
{
    private const string IfName = "1.3.6.1.2.1.31.1.1.1.1";
    private const string BasePort = "1.3.6.1.2.1.17.1.4.1.2";
    private const string Alias = "1.3.6.1.2.1.47.1.3.2.1.2";

    [Fact]
    public void An_interface_without_a_plug_or_of_another_type_is_no_port()
    {
        SlowAnswers slow = Slow(
            Names((1, "Vlan1"), (10101, "Gi1/0/1"), (9, "lo")), Column("1.3.6.1.2.1.2.2.1.3", ("1", N(53)), ("10101", N(6)), ("9", N(24))),
            Column("1.3.6.1.2.1.31.1.1.1.17", ("10101", N(1))), Column("1.3.6.1.2.1.2.2.1.8", ("10101", N(1)), ("9", N(2))),
            Column("1.3.6.1.2.1.31.1.1.1.15", ("10101", SnmpValue.Gauge32(1000))), Column("1.3.6.1.2.1.31.1.1.1.18", ("10101", SnmpValue.Text("mast north"))));

        InterfaceFacts port = Assert.Single(InterfaceFacts.Of(slow), i => i.CouldBePort);

        Assert.Equal(new InterfaceFacts(10101, "Gi1/0/1", "mast north", true, true, 1000), port);
    }

    [Fact]
    public void LLDP_ports_are_named_or_bridged_and_only_without_a_bridge_an_interface_index()
    {
        // lldpLocPortIdSubtype: interfaceName(5), local(7).
        WalkColumn kinds = Column("1.0.8802.1.1.2.1.3.7.1.2", ("1", N(5)), ("2", N(7)), ("3", N(7)));
        WalkColumn ids = Column("1.0.8802.1.1.2.1.3.7.1.3", ("1", SnmpValue.Text("Gi1/0/7")), ("2", SnmpValue.Text("2")), ("3", SnmpValue.Text("3")));
        WalkColumn names = Names((3, "mgmt"), (10107, "Gi1/0/7"), (10102, "Gi1/0/2"));

        Dictionary<int, int> bridged = Ports(Slow(names, kinds, ids, Column(BasePort, ("2", N(10102)))));
        Dictionary<int, int> plain = Ports(Slow(names, kinds, ids));

        Assert.Equal([(1, 10107), (2, 10102)], bridged.OrderBy(p => p.Key).Select(p => (p.Key, p.Value)));
        Assert.Equal([(1, 10107), (3, 3)], plain.OrderBy(p => p.Key).Select(p => (p.Key, p.Value)));

        static Dictionary<int, int> Ports(SlowAnswers slow) => EvidenceReader.LldpPorts(slow, InterfaceFacts.Of(slow), EvidenceReader.BasePorts(slow));
    }

    [Fact]
    public void An_entity_points_to_an_interface_only_through_an_instance_of_ifEntry()
    {
        SlowAnswers slow = Slow(Column(
            Alias, ("50.0", SnmpValue.ObjectIdentifier(Oid.Parse("1.3.6.1.2.1.2.2.1.1.10105"))), ("51.0", SnmpValue.ObjectIdentifier(Oid.Parse("1.3.6.1.2.1.17.1.4.1.1.7")))));

        Assert.Equal([(50, 10105)], EvidenceReader.Entities(slow).Select(e => (e.Key, e.Value)));
    }

    [Fact]
    public void Ports_that_LLDP_says_can_feed_are_evidence()
    {
        // lldpXdot3LocPowerPortClass pClassPSE(1), pClassPD(2); MDISupported true(1), false(2).
        SlowAnswers slow = Slow(
            Names((101, "Gi1/0/1"), (201, "Te1/1/1"), (301, "Fa1/2/1")), Column(BasePort, ("1", N(101)), ("2", N(201)), ("3", N(301))),
            Column("1.0.8802.1.1.2.1.5.4623.1.2.2.1.1", ("1", N(1)), ("2", N(1)), ("3", N(2))), Column("1.0.8802.1.1.2.1.5.4623.1.2.2.1.2", ("1", N(1)), ("2", N(2)), ("3", N(1))));

        Assert.Equal([101], EvidenceReader.Read(slow, [], [], new HashSet<PsePortRef>()).Feeding);
    }

    [Fact]
    public void A_pointer_of_the_maker_and_one_of_RFC_7461_both_lead_to_the_interface()
    {
        const string Entity = "1.3.6.1.4.1.32473.7.1.11";
        var sheet = new DrawSheet(
            "test", "TEST-MIB", "test", [], [new SheetColumn(SheetQuantity.Entity, Entity, SheetUnit.None, SheetIndex.GroupAndPort, false)], ClassCoding.ClassPlusOne, [], false);
        SlowAnswers slow = Slow(
            Column(Entity, ("2.5", N(50)), ("2.6", N(0))), Column("1.3.6.1.2.1.231.1.1.1.1", ("60", N(6))), Column("1.3.6.1.2.1.231.1.1.1.2", ("60", N(2))),
            Column(Alias, ("50.0", SnmpValue.ObjectIdentifier(Oid.Parse("1.3.6.1.2.1.2.2.1.1.205"))), ("60.0", SnmpValue.ObjectIdentifier(Oid.Parse("1.3.6.1.2.1.2.2.1.1.206")))));
        PsePortRef[] ports = [new("s", 2, 5), new("s", 2, 6)];

        var pointers = EvidenceReader.Read(slow, ports, [sheet], new HashSet<PsePortRef>()).Pointers;

        Assert.Equal([(5, 205), (6, 206)], pointers.OrderBy(p => p.Key).Select(p => (p.Key.Port, p.Value)));
    }

    [Fact]
    public void Neighbours_VLAN_and_state_stand_with_the_interface()
    {
        // lldpRemChassisIdSubtype macAddress(4); index time mark, local port, remote index.
        SlowAnswers slow = Slow(
            Names((101, "port1")), Column(BasePort, ("1", N(101))), Column("1.3.6.1.2.1.17.7.1.4.5.1.1", ("1", SnmpValue.Gauge32(30))),
            Column("1.0.8802.1.1.2.1.4.1.1.4", ("9000.1.2", N(4))), Column("1.0.8802.1.1.2.1.4.1.1.5", ("9000.1.2", SnmpValue.Octets([0, 0x1b, 0x21, 0xaa, 0xbb, 0xcc]))),
            Column("1.0.8802.1.1.2.1.4.1.1.7", ("9000.1.2", SnmpValue.Text("eth0"))), Column("1.0.8802.1.1.2.1.4.1.1.9", ("9000.1.2", SnmpValue.Text("camera-1"))));
        var port = new PsePortRef("s", 1, 1);

        PortInterface found = InterfaceReader.Read(new Dictionary<PsePortRef, MappedInterface> { [port] = new(101, "test") }, slow)[port];

        Assert.Equal(30, found.Vlan);
        Assert.Equal(new Neighbour("camera-1", "00:1b:21:aa:bb:cc", "eth0"), Assert.Single(found.Neighbours));
    }

    [Fact]
    public void Neighbours_of_LLDP_V2_are_found_by_interface_index()
    {
        SlowAnswers slow = Slow(
            Names((101, "port1")), Column("1.3.111.2.802.1.1.13.1.4.1.1.6", ("9000.101.1.2", SnmpValue.Text("chassis"))),
            Column("1.3.111.2.802.1.1.13.1.4.1.1.10", ("9000.101.1.2", SnmpValue.Text("camera-1"))));

        Assert.Equal("camera-1", Assert.Single(NeighbourReader.Read(slow, new Dictionary<int, int>())[101]).SystemName);
    }

    private static WalkColumn Names(params (int Index, string Name)[] names) =>
        Column(IfName, [.. names.Select(n => (n.Index.ToString(System.Globalization.CultureInfo.InvariantCulture), SnmpValue.Text(n.Name)))]);

    private static WalkColumn Column(string oid, params (string Index, SnmpValue Value)[] cells) => Answers.Column(oid, cells);

    private static SnmpValue N(int number) => SnmpValue.Integer32(number);

    private static SlowAnswers Slow(params WalkColumn[] columns) => new(columns);
}
