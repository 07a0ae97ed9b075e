using System.Collections.Immutable;
using PoeWatch.Domain.Readings.Changes;
using PoeWatch.Snmp;

namespace PoeWatch.Monitoring.Polling.Changes;

/// <summary>The objects that tell of an agent's life: RFC 3411 (SNMP-FRAMEWORK-MIB), RFC 2790 (HOST-RESOURCES-MIB), RFC 6933 (ENTITY-MIB).</summary>
internal static class PulseReader
{
    private const int SerialsAsked = 10;
    private static readonly Oid s_serial = Oid.Parse("1.3.6.1.2.1.47.1.1.1.1.11");

    /// <summary>snmpEngineID.0</summary>
    public static Oid EngineId { get; } = Oid.Parse("1.3.6.1.6.3.10.2.1.1.0");

    /// <summary>snmpEngineBoots.0</summary>
    public static Oid EngineBoots { get; } = Oid.Parse("1.3.6.1.6.3.10.2.1.2.0");

    /// <summary>hrSystemUptime.0, hundredths of a second.</summary>
    public static Oid SystemUpTime { get; } = Oid.Parse("1.3.6.1.2.1.25.1.1.0");

    /// <summary>A pulse out of the instances above as a poll brought them.</summary>
    public static AgentPulse Read(TimeSpan at, TimeSpan? upTime, SnmpValue engineId, SnmpValue boots, SnmpValue systemUpTime, WalkColumn portStates) => new(
        at,
        upTime,
        boots.TryGetInt64(out var count) && boots.IsPresent ? count : null,
        systemUpTime.Type == SnmpType.TimeTicks && systemUpTime.TryGetUInt64(out var ticks) ? TimeSpan.FromMilliseconds(ticks * 10.0) : null,
        Groups(portStates),
        new AgentIdentity(string.Empty, engineId.Type == SnmpType.OctetString && engineId.TryGetOctets(out var octets) ? Convert.ToHexString(octets) : string.Empty, string.Empty));

    /// <summary>The first serial number that the agent tells: that of the chassis or of the first member. Empty where it has none or did not answer.</summary>
    public static async Task<string> SerialAsync(SnmpClient client, SnmpTarget agent, CancellationToken cancellationToken)
    {
        SnmpResult result = await client.GetBulkAsync(agent, 0, SerialsAsked, [s_serial], cancellationToken).ConfigureAwait(false);
        foreach (VarBind cell in result.IsAnswered ? result.VarBinds : [])
        {
            if (cell.Oid.StartsWith(s_serial) && cell.Value.TryGetText(out var text) && text.Trim().Length > 0)
            {
                return text.Trim();
            }
        }

        return string.Empty;
    }

    private static bool AreInOrder(List<int> groups)
    {
        for (var i = 1; i < groups.Count; i++)
        {
            if (groups[i] <= groups[i - 1])
            {
                return false;
            }
        }

        return true;
    }

    // Agents give rows in order, so a group is new only where it is not that of the row before.
    private static ImmutableArray<int> Groups(WalkColumn portStates)
    {
        var groups = new List<int>(1);
        Span<uint> index = stackalloc uint[2];
        for (WalkColumnReader rows = portStates.Read(); rows.Next();)
        {
            if (rows.TryGetIndex(index, out var count) && count == 2 && index[0] <= int.MaxValue && (groups.Count == 0 || groups[^1] != (int)index[0]))
            {
                groups.Add((int)index[0]);
            }
        }

        return AreInOrder(groups) ? [.. groups] : [.. groups.Distinct().Order()];
    }
}
