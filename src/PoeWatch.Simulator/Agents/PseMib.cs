using PoeWatch.Domain.Design;
using PoeWatch.Domain.Poe;
using PoeWatch.Domain.Readings;
using PoeWatch.Simulator.World;
using PoeWatch.Snmp;
using Cell = (PoeWatch.Snmp.Oid Object, uint[] Index, System.Func<PoeWatch.Simulator.Agents.AgentMoment, PoeWatch.Snmp.SnmpValue> Value);

namespace PoeWatch.Simulator.Agents;

/// <summary>What a simulated agent shows: system, interfaces, POWER-ETHERNET-MIB, measured watts and its SNMP engine.</summary>
internal static class PseMib
{
    /// <summary>IEEE 802.3.1 pethPsePortActualPower; the accuracy column stands next to it.</summary>
    public const string ActualPowerColumn = "1.3.111.2.802.3.1.8.1.1.1.15";

    /// <summary>ifIndex of the one uplink, behind all PSE ports.</summary>
    private const uint UplinkIfIndex = 9001;

    // 32473 is the enterprise number that RFC 5612 sets aside for examples: no product answers under it.
    private static readonly Oid s_product = Oid.Parse("1.3.6.1.4.1.32473.7.1");
    private static readonly Oid s_system = Oid.Parse("1.3.6.1.2.1.1");
    // HOST-RESOURCES-MIB (RFC 2790).
    private static readonly Oid s_hostSystem = Oid.Parse("1.3.6.1.2.1.25.1");
    private static readonly Oid s_interfaceCount = Oid.Parse("1.3.6.1.2.1.2.1");
    private static readonly Oid s_interfaces = Oid.Parse("1.3.6.1.2.1.2.2.1");
    private static readonly Oid s_interfacesMore = Oid.Parse("1.3.6.1.2.1.31.1.1.1");
    private static readonly Oid s_psePorts = Oid.Parse("1.3.6.1.2.1.105.1.1.1");
    private static readonly Oid s_mainPse = Oid.Parse("1.3.6.1.2.1.105.1.3.1.1");
    private static readonly Oid s_engine = Oid.Parse("1.3.6.1.6.3.10.2.1");
    private static readonly Oid s_actualPower = Oid.Parse(ActualPowerColumn);
    private static readonly Oid s_powerAccuracy = Oid.Parse("1.3.111.2.802.3.1.8.1.1.1.16");

    /// <param name="draw">Where the agent keeps measured watts; null where it measures nothing.</param>
    /// <param name="location">sysLocation.</param>
    /// <param name="more">What else it shows.</param>
    public static MibView Of(PseShape shape, DrawColumn? draw, string location, ReadOnlyMemory<byte> engineId, IEnumerable<Cell> more)
    {
        var cells = new List<Cell>(more);
        cells.AddRange(SensorMib.Input(shape));
        cells.AddRange(NeighbourMib.Cells(shape));
        cells.AddRange(VlanMib.Cells(shape));
        cells.AddRange(System(shape.ElementId, $"Simulated PSE of PoeWatch: {shape.Name}", location));
        cells.AddRange(Engine(engineId));
        cells.AddRange(Interfaces(shape));
        for (var group = 0; group < shape.Groups.Length; group++)
        {
            cells.AddRange(MainPse(shape.Groups[group], group));
            for (var port = 0; port < shape.Groups[group].Ports.Length; port++)
            {
                var reference = shape.Groups[group].Ports[port].Ref;
                cells.AddRange(Port(reference, PortReader(group, port)));
                if (draw is not null)
                {
                    cells.AddRange(Draw(shape, reference, PortReader(group, port), draw));
                }
            }
        }

        return new MibView(cells);
    }

    /// <summary>Interface number of a PSE port: the port number in a single box, box by box from 1000 on in a stack.</summary>
    public static uint IfIndexOf(PseShape shape, PsePortRef port) =>
        shape.Groups.Length == 1 ? (uint)port.Port : (uint)((1000 * port.Group) + port.Port);

    /// <summary>ifName of a PSE port.</summary>
    public static string InterfaceNameOf(PsePortRef port) => FormattableString.Invariant($"{port.Group}/{port.Port}");

    private static Func<AgentMoment, PortSnapshot> PortReader(int group, int port) => moment => moment.Pse.Groups[group].Ports[port];

    internal static IEnumerable<Cell> System(string elementId, string description, string location)
    {
        yield return Scalar(s_system, 1, SnmpValue.Text(description));
        yield return Scalar(s_system, 2, SnmpValue.ObjectIdentifier(s_product));
        yield return Scalar(s_system, 3, moment => SnmpValue.TimeTicks(Ticks(moment.UpTime)));
        yield return Scalar(s_system, 4, SnmpValue.Text(""));
        yield return Scalar(s_system, 5, SnmpValue.Text(elementId));
        yield return Scalar(s_system, 6, SnmpValue.Text(location));
        yield return Scalar(s_system, 7, SnmpValue.Integer32(2));
        yield return Scalar(s_hostSystem, 1, moment => SnmpValue.TimeTicks(Ticks(moment.SystemUpTime)));
        yield return Scalar(s_hostSystem, 2, moment => SnmpValue.Octets(DateAndTime(moment.Date)));
    }

    /// <summary>Hundredths of a second as TimeTicks count them, round after 497 days; none for what lies before the start.</summary>
    internal static uint Ticks(TimeSpan since) => since <= TimeSpan.Zero ? 0 : unchecked((uint)(since.Ticks / (TimeSpan.TicksPerSecond / 100)));

    // SNMPv2-TC DateAndTime in its long form: the zone is that of UTC.
    private static byte[] DateAndTime(DateTimeOffset at)
    {
        var utc = at.UtcDateTime;
        return
        [
            (byte)(utc.Year >> 8), (byte)utc.Year, (byte)utc.Month, (byte)utc.Day,
            (byte)utc.Hour, (byte)utc.Minute, (byte)utc.Second, (byte)(utc.Millisecond / 100), (byte)'+', 0, 0,
        ];
    }

    internal static IEnumerable<Cell> Engine(ReadOnlyMemory<byte> engineId)
    {
        yield return Scalar(s_engine, 1, SnmpValue.Octets(engineId.Span));
        yield return Scalar(s_engine, 2, moment => SnmpValue.Integer32(moment.EngineBoots));
        yield return Scalar(s_engine, 3, moment => SnmpValue.Integer32(moment.EngineTimeSeconds));
        yield return Scalar(s_engine, 4, SnmpValue.Integer32(SimulatedAgent.MaxMessageSize));
    }

    private static IEnumerable<Cell> Interfaces(PseShape shape)
    {
        var count = 1;
        for (var group = 0; group < shape.Groups.Length; group++)
        {
            for (var port = 0; port < shape.Groups[group].Ports.Length; port++)
            {
                var designed = shape.Groups[group].Ports[port];
                var read = PortReader(group, port);
                var name = InterfaceNameOf(designed.Ref);
                count++;
                foreach (var cell in Interface(
                    IfIndexOf(shape, designed.Ref), $"PSE port {name}", name, designed.Label, moment => read(moment).IsLinkUp))
                {
                    yield return cell;
                }
            }
        }

        foreach (var cell in Interface(UplinkIfIndex, "Uplink", "uplink", "", _ => true))
        {
            yield return cell;
        }

        yield return (s_interfaceCount, [0], _ => SnmpValue.Integer32(count));
    }

    // IF-MIB: ethernetCsmacd(6), admin up(1), oper up(1) or down(2), connector present true(1).
    private static IEnumerable<Cell> Interface(uint ifIndex, string description, string name, string label, Func<AgentMoment, bool> isUp)
    {
        yield return Column(s_interfaces, 1, ifIndex, SnmpValue.Integer32((int)ifIndex));
        yield return Column(s_interfaces, 2, ifIndex, SnmpValue.Text(description));
        yield return Column(s_interfaces, 3, ifIndex, SnmpValue.Integer32(6));
        yield return Column(s_interfaces, 7, ifIndex, SnmpValue.Integer32(1));
        yield return (s_interfaces.Append(8), [ifIndex], moment => SnmpValue.Integer32(isUp(moment) ? 1 : 2));
        yield return Column(s_interfacesMore, 1, ifIndex, SnmpValue.Text(name));
        yield return Column(s_interfacesMore, 17, ifIndex, SnmpValue.Integer32(1));
        // DisplayString of at most 64 characters.
        yield return Column(s_interfacesMore, 18, ifIndex, SnmpValue.Text(label.Length <= 64 ? label : label[..64]));
    }

    private static IEnumerable<Cell> Port(PsePortRef port, Func<AgentMoment, PortSnapshot> read)
    {
        uint[] index = [(uint)port.Group, (uint)port.Port];
        yield return (s_psePorts.Append(3), index, moment => SnmpValue.Integer32(read(moment).State == PortState.Disabled ? 2 : 1));
        yield return (s_psePorts.Append(6), index, moment => SnmpValue.Integer32((int)read(moment).State));
        yield return (s_psePorts.Append(7), index, moment => SnmpValue.Integer32((int)read(moment).Criticality));
        yield return (s_psePorts.Append(8), index, moment => SnmpValue.Counter32(read(moment).Counters.MpsAbsent));
        yield return (s_psePorts.Append(10), index, moment => SnmpValue.Integer32(ClassValue(read(moment))));
        yield return (s_psePorts.Append(11), index, moment => SnmpValue.Counter32(read(moment).Counters.InvalidSignature));
        yield return (s_psePorts.Append(12), index, moment => SnmpValue.Counter32(read(moment).Counters.Denied));
        yield return (s_psePorts.Append(13), index, moment => SnmpValue.Counter32(read(moment).Counters.Overload));
        yield return (s_psePorts.Append(14), index, moment => SnmpValue.Counter32(read(moment).Counters.Short));
    }

    // RFC 3621: class0(1) to class4(5), and nothing above; only valid while power is delivered.
    private static int ClassValue(PortSnapshot port) =>
        port.State == PortState.Delivering ? Math.Min((int)port.AssignedClass, (int)PoeClass.Class4) + 1 : 1;

    private static IEnumerable<Cell> MainPse(PseGroupShape group, int place)
    {
        uint[] index = [(uint)group.Number];
        GroupSnapshot Read(AgentMoment moment) => moment.Pse.Groups[place];

        // Gauge32 of 1..65535 W, and on(1) or faulty(3).
        yield return (s_mainPse.Append(2), index, moment => SnmpValue.Gauge32((uint)Math.Clamp(Read(moment).Budget.Watts, 1, 65535)));
        yield return (s_mainPse.Append(3), index, moment => SnmpValue.Integer32(Read(moment).Budget.Watts > 0 ? 1 : 3));
        yield return (s_mainPse.Append(4), index, moment => SnmpValue.Gauge32(
            (uint)Math.Round(Read(moment).Ports.Sum(port => port.MeteredMilliwatts) / 1000.0, MidpointRounding.AwayFromZero)));
        yield return (s_mainPse.Append(5), index, _ => SnmpValue.Integer32(80));
    }

    private static IEnumerable<Cell> Draw(
        PseShape shape, PsePortRef port, Func<AgentMoment, PortSnapshot> read, DrawColumn draw)
    {
        if (draw.Index == DrawIndex.Port && port.Group != 1)
        {
            yield break;
        }

        uint[] index = draw.Index switch
        {
            DrawIndex.Port => [(uint)port.Port],
            DrawIndex.IfIndex => [IfIndexOf(shape, port)],
            _ => [(uint)port.Group, (uint)port.Port],
        };
        var milliwattsPerUnit = draw.Unit switch
        {
            DrawUnit.Deciwatt => 100,
            DrawUnit.Watt => 1000,
            _ => 1,
        };
        var column = Oid.Parse(draw.Oid);
        yield return (column, index, moment => SnmpValue.Integer32(
            (int)Math.Round(read(moment).MeteredMilliwatts * moment.Pse.WattsFactor / milliwattsPerUnit, MidpointRounding.AwayFromZero)));
        if (column == s_actualPower)
        {
            yield return (s_powerAccuracy, index, moment => SnmpValue.Integer32(Math.Max(1, moment.Pse.MeterStepMilliwatts / 2)));
        }
    }

    private static Cell Scalar(Oid parent, uint number, SnmpValue value) => (parent.Append(number), [0], _ => value);

    private static Cell Scalar(Oid parent, uint number, Func<AgentMoment, SnmpValue> value) => (parent.Append(number), [0], value);

    private static Cell Column(Oid entry, uint column, uint row, SnmpValue value) => (entry.Append(column), [row], _ => value);
}
