using System.Collections.Immutable;
using PoeWatch.Domain.DrawSheets;
using PoeWatch.Snmp;

namespace PoeWatch.Monitoring.Recordings;

/// <summary>Which subtrees of an agent are recorded: what the service reads of a switch, and what somebody asks for besides. Pure.</summary>
public static class RecordingPlan
{
    // SNMPv2-MIB (RFC 3418), IF-MIB (RFC 2863), BRIDGE-MIB (RFC 4188), Q-BRIDGE-MIB (RFC 4363), UPS-MIB (RFC 1628), ENTITY-MIB (RFC 6933),
    // ENTITY-SENSOR-MIB (RFC 3433), POWER-ETHERNET-MIB (RFC 3621), ENERGY-OBJECT-MIB (RFC 7460), ENERGY-OBJECT-CONTEXT-MIB (RFC 7461), LLDP-MIB and
    // LLDP-V2-MIB with their extensions, the MIB of IEEE 802.3.1. Of interfaces no counters and no addresses.
    private static readonly ImmutableArray<Oid> s_standard =
    [
        .. new[]
        {
            "1.3.6.1.2.1.1", "1.3.6.1.2.1.2.1", "1.3.6.1.2.1.2.2.1.1", "1.3.6.1.2.1.2.2.1.2", "1.3.6.1.2.1.2.2.1.3", "1.3.6.1.2.1.2.2.1.5", "1.3.6.1.2.1.2.2.1.7",
            "1.3.6.1.2.1.2.2.1.8", "1.3.6.1.2.1.31.1.1.1.1", "1.3.6.1.2.1.31.1.1.1.15", "1.3.6.1.2.1.31.1.1.1.17", "1.3.6.1.2.1.31.1.1.1.18", "1.3.6.1.2.1.31.1.5",
            "1.3.6.1.2.1.17.1.4.1", "1.3.6.1.2.1.17.7.1.4.5.1.1", "1.3.6.1.2.1.33", "1.3.6.1.2.1.47.1.1", "1.3.6.1.2.1.47.1.3.2", "1.3.6.1.2.1.99.1",
            "1.3.6.1.2.1.105", "1.3.6.1.2.1.229", "1.3.6.1.2.1.231", "1.0.8802.1.1.2", "1.3.111.2.802.1.1.13", "1.3.111.2.802.3.1.5", "1.3.111.2.802.3.1.8",
        }.Select(Oid.Parse),
    ];

    // SNMP-TARGET-MIB to SNMP-COMMUNITY-MIB (RFC 3413 to 3415, RFC 3584): users, keys, communities and who may see what.
    private static readonly ImmutableArray<Oid> s_secret = [.. Enumerable.Range(12, 7).Select(arc => Oid.Parse(FormattableString.Invariant($"1.3.6.1.6.3.{arc}")))];

    /// <summary>True for what holds users, keys or communities: it is never recorded, whoever asks for it.</summary>
    public static bool IsSecret(Oid oid) => s_secret.Any(oid.StartsWith);

    /// <param name="objectId">sysObjectID of the agent in dotted numbers, or empty.</param>
    /// <param name="sheets">Their columns are recorded where they may fit the agent.</param>
    /// <param name="also">Subtrees that somebody asks for.</param>
    /// <returns>In order of object identifiers; none stands under another.</returns>
    public static ImmutableArray<Oid> Of(string objectId, SheetBook sheets, IEnumerable<Oid> also)
    {
        ArgumentNullException.ThrowIfNull(sheets);
        var kept = new List<Oid>();
        Oid[] all = [.. s_standard, .. sheets.For(objectId).SelectMany(sheet => sheet.Columns).Select(column => Oid.Parse(column.Oid)), .. also];
        foreach (Oid subtree in all.Distinct().Order())
        {
            // In order, what lies under a subtree comes right behind it.
            if (!IsSecret(subtree) && (kept.Count == 0 || !subtree.StartsWith(kept[^1])))
            {
                kept.Add(subtree);
            }
        }

        return [.. kept];
    }
}
