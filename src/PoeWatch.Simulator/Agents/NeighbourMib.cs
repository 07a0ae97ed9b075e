using System.Text;
using PoeWatch.Simulator.World;
using PoeWatch.Snmp;
using Cell = (PoeWatch.Snmp.Oid Object, uint[] Index, System.Func<PoeWatch.Simulator.Agents.AgentMoment, PoeWatch.Snmp.SnmpValue> Value);

namespace PoeWatch.Simulator.Agents;

/// <summary>
/// LLDP-MIB (IEEE 802.1AB): local ports, and the device behind each fed port that tells a name. A row that is not there now has no instance. Local port
/// numbers are the interface numbers.
/// </summary>
internal static class NeighbourMib
{
    // Subtypes: interfaceName(5) of a port id; macAddress(4) of a chassis id.
    private const int InterfaceName = 5;
    private const int MacAddress = 4;

    private static readonly Oid s_changed = Oid.Parse("1.0.8802.1.1.2.1.2.1");
    private static readonly Oid s_localPorts = Oid.Parse("1.0.8802.1.1.2.1.3.7.1");
    private static readonly Oid s_remote = Oid.Parse("1.0.8802.1.1.2.1.4.1.1");

    public static IEnumerable<Cell> Cells(PseShape shape)
    {
        // lldpStatsRemTablesLastChangeTime: the up time at which a neighbour last came, went or changed.
        yield return (s_changed, [0], moment => SnmpValue.TimeTicks(PseMib.Ticks(moment.UpTime - moment.SinceNeighboursChanged)));
        for (var group = 0; group < shape.Groups.Length; group++)
        {
            for (var port = 0; port < shape.Groups[group].Ports.Length; port++)
            {
                foreach (var cell in Port(shape, group, port))
                {
                    yield return cell;
                }
            }
        }
    }

    private static IEnumerable<Cell> Port(PseShape shape, int group, int port)
    {
        var reference = shape.Groups[group].Ports[port].Ref;
        var local = PseMib.IfIndexOf(shape, reference);
        yield return (s_localPorts.Append(2), [local], _ => SnmpValue.Integer32(InterfaceName));
        yield return (s_localPorts.Append(3), [local], _ => SnmpValue.Text(PseMib.InterfaceNameOf(reference)));

        uint[] remote = [0, local, 1];
        Cell Column(uint number, Func<string, SnmpValue> value) => (
            s_remote.Append(number),
            remote,
            moment => moment.Pse.Groups[group].Ports[port].Neighbour is { } name ? value(name) : SnmpValue.NoSuchInstance);

        yield return Column(4, _ => SnmpValue.Integer32(MacAddress));
        yield return Column(5, name => SnmpValue.Octets(MacOf(name)));
        yield return Column(6, _ => SnmpValue.Integer32(InterfaceName));
        yield return Column(7, _ => SnmpValue.Text("eth0"));
        yield return Column(9, SnmpValue.Text);
    }

    // A locally administered address (second bit of the first octet, IEEE 802) that belongs to the name.
    private static byte[] MacOf(string name)
    {
        var hash = System.Security.Cryptography.SHA256.HashData(Encoding.UTF8.GetBytes(name));
        return [0x02, .. hash[..5]];
    }
}
