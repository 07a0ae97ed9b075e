using System.Collections.Immutable;
using PoeWatch.Monitoring.Polling.DrawSources;
using PoeWatch.Snmp;

namespace PoeWatch.Monitoring.Polling.Interfaces;

/// <summary>What IF-MIB says of one interface. Immutable.</summary>
/// <param name="Name">ifName, or ifDescr where no interface has a name.</param>
/// <param name="CouldBePort">False for what is no Ethernet or has no plug, such as a VLAN or a trunk.</param>
/// <param name="IsUp">Null where the agent does not say.</param>
internal sealed record InterfaceFacts(int IfIndex, string Name, string Alias, bool CouldBePort, bool? IsUp, int? SpeedMbps)
{
    // ianaiftype: ethernetCsmacd, and the two that newer documents withdrew and older agents still say.
    private static readonly long[] s_ethernet = [6, 62, 117];

    /// <summary>All interfaces that have a name, by ifIndex.</summary>
    public static ImmutableArray<InterfaceFacts> Of(SlowAnswers slow)
    {
        Oid names = slow.Has(PoeOids.InterfaceName) ? PoeOids.InterfaceName : PoeOids.InterfaceText;
        return
        [
            .. from cell in slow[names]
               where cell.Key.Count == 1 && cell.Key.First is > 0 and <= int.MaxValue
               orderby cell.Key.First
               let name = slow.Text(names, cell.Key)
               where name is { Length: > 0 }
               let type = slow.Number(InterfaceOids.InterfaceType, cell.Key)
               select new InterfaceFacts(
                   (int)cell.Key.First,
                   name,
                   slow.Text(InterfaceOids.Alias, cell.Key) ?? string.Empty,
                   (type is null || s_ethernet.Contains(type.Value)) && slow.Number(InterfaceOids.Connector, cell.Key) != 2,
                   slow.Number(InterfaceOids.OperStatus, cell.Key) is { } status ? status == 1 : null,
                   slow.Number(InterfaceOids.HighSpeed, cell.Key) is > 0 and <= int.MaxValue and var speed ? (int)speed : null),
        ];
    }
}
