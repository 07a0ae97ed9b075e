using PoeWatch.Simulator.World;
using PoeWatch.Snmp;
using Cell = (PoeWatch.Snmp.Oid Object, uint[] Index, System.Func<PoeWatch.Simulator.Agents.AgentMoment, PoeWatch.Snmp.SnmpValue> Value);

namespace PoeWatch.Simulator.Agents;

/// <summary>Which interface is which bridge port (BRIDGE-MIB, RFC 4188), and the VLAN of untagged frames there (Q-BRIDGE-MIB, RFC 4363). Bridge ports have the numbers of their interfaces.</summary>
internal static class VlanMib
{
    private static readonly Oid s_basePort = Oid.Parse("1.3.6.1.2.1.17.1.4.1.2");
    private static readonly Oid s_pvid = Oid.Parse("1.3.6.1.2.1.17.7.1.4.5.1.1");

    public static IEnumerable<Cell> Cells(PseShape shape)
    {
        for (var group = 0; group < shape.Groups.Length; group++)
        {
            for (var port = 0; port < shape.Groups[group].Ports.Length; port++)
            {
                var (inGroup, at) = (group, port);
                var number = PseMib.IfIndexOf(shape, shape.Groups[group].Ports[port].Ref);
                yield return (s_basePort, [number], _ => SnmpValue.Integer32((int)number));
                yield return (s_pvid, [number], moment => SnmpValue.Gauge32((uint)moment.Pse.Groups[inGroup].Ports[at].Vlan));
            }
        }
    }
}
