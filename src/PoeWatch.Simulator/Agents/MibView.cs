using PoeWatch.Simulator.World;
using PoeWatch.Snmp;

namespace PoeWatch.Simulator.Agents;

/// <summary>What an agent knows at the moment it answers.</summary>
/// <param name="Pse">What its PSE shows.</param>
/// <param name="UpTime">Since the agent started.</param>
/// <param name="EngineBoots">RFC 3411 snmpEngineBoots.</param>
internal readonly record struct AgentMoment(PseSnapshot Pse, TimeSpan UpTime, int EngineBoots)
{
    /// <summary>By the agent's own clock.</summary>
    public DateTimeOffset Date { get; init; }

    /// <summary>Since the box got its power, whatever its agent did meanwhile.</summary>
    public TimeSpan SystemUpTime { get; init; }

    /// <summary>Since a device behind a port last came, went or was exchanged.</summary>
    public TimeSpan SinceNeighboursChanged { get; init; }

    /// <summary>Set where the agent is that of a UPS.</summary>
    public UpsSnapshot? Ups { get; init; }

    /// <summary>What a clock that was set adds to <see cref="UpTime"/>. The time of the SNMP engine does not jump with it: RFC 3414 section 2.2.2 would shut a v3 manager out.</summary>
    public TimeSpan ClockShift { get; init; }

    public int EngineTimeSeconds => (int)(UpTime - ClockShift).TotalSeconds;
}

/// <summary>
/// The objects of one agent in the order of their OIDs. The set is fixed, the values are read afresh for every answer; one that is noSuchInstance is not
/// there now and passed over. Immutable and thread safe.
/// </summary>
internal sealed class MibView
{
    private readonly Oid[] _instances;
    private readonly Func<AgentMoment, SnmpValue>[] _values;
    private readonly Oid[] _objects;

    /// <param name="cells">Object (column or scalar), index behind it, and how its value is read.</param>
    public MibView(IEnumerable<(Oid Object, uint[] Index, Func<AgentMoment, SnmpValue> Value)> cells)
    {
        var ordered = cells.Select(cell => (Instance: cell.Object.Append(cell.Index), cell.Object, cell.Value))
            .OrderBy(cell => cell.Instance).ToArray();
        _instances = [.. ordered.Select(cell => cell.Instance)];
        _values = [.. ordered.Select(cell => cell.Value)];
        _objects = [.. ordered.Select(cell => cell.Object).Distinct().Order()];
    }

    /// <summary>Objects that are there.</summary>
    public int CountAt(AgentMoment moment) => _values.Count(value => value(moment).Type != SnmpType.NoSuchInstance);

    /// <summary>The exact instance, or which of the two absences of RFC 3416 section 4.2.1 it is.</summary>
    public SnmpValue Get(Oid name, AgentMoment moment)
    {
        var place = Array.BinarySearch(_instances, name);
        if (place >= 0)
        {
            return _values[place](moment);
        }

        var known = Array.BinarySearch(_objects, name);
        var candidate = known >= 0 ? known : ~known - 1;
        return candidate >= 0 && name.StartsWith(_objects[candidate]) ? SnmpValue.NoSuchInstance : SnmpValue.NoSuchObject;
    }

    /// <summary>The first instance behind a name, or the name itself with endOfMibView.</summary>
    public VarBind Next(Oid name, AgentMoment moment)
    {
        var place = Array.BinarySearch(_instances, name);
        for (var next = place >= 0 ? place + 1 : ~place; next < _instances.Length; next++)
        {
            if (_values[next](moment) is var value && value.Type != SnmpType.NoSuchInstance)
            {
                return new VarBind(_instances[next], value);
            }
        }

        return new VarBind(name, SnmpValue.EndOfMibView);
    }
}
