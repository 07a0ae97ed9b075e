using PoeWatch.Snmp;
using PoeWatch.Snmp.Codec;

namespace PoeWatch.TestKit.Snmp;

/// <summary>
/// The objects of a scripted agent and how a faultless agent reads them (RFC 3416 sections 4.2.1 to 4.2.3). Thread-safe.
/// </summary>
public sealed class AgentTable
{
    private readonly Lock _lock = new();
    private readonly SortedList<Oid, SnmpValue> _objects = [];
    private readonly Dictionary<Oid, Oid> _circles = [];

    public void Set(Oid oid, SnmpValue value)
    {
        lock (_lock)
        {
            _objects[oid.ToOwned()] = value;
        }
    }

    public void Set(string oid, SnmpValue value) => Set(Oid.Parse(oid), value);

    /// <summary>From now on the successor of one name is another, as in agents whose table is out of order.</summary>
    public void Circle(Oid from, Oid to)
    {
        lock (_lock)
        {
            _circles[from.ToOwned()] = to.ToOwned();
        }
    }

    public void Remove(Oid oid)
    {
        lock (_lock)
        {
            _objects.Remove(oid);
        }
    }

    internal List<VarBind> Answer(PduType type, IReadOnlyList<Oid> oids, int nonRepeaters, int maxRepetitions, bool stuck)
    {
        lock (_lock)
        {
            if (type == PduType.Get)
            {
                return [.. oids.Select(oid => new VarBind(oid, _objects.GetValueOrDefault(oid, SnmpValue.NoSuchInstance)))];
            }

            int single = type == PduType.GetNext ? oids.Count : Math.Min(nonRepeaters, oids.Count);
            List<VarBind> answer = [.. oids.Take(single).Select(oid => Successor(oid, stuck))];
            Oid[] cursors = [.. oids.Skip(single)];
            for (int row = 0; row < maxRepetitions && cursors.Length > 0; row++)
            {
                for (int i = 0; i < cursors.Length; i++)
                {
                    VarBind next = Successor(cursors[i], stuck);
                    answer.Add(next);
                    cursors[i] = next.Oid;
                }
            }

            return answer;
        }
    }

    private VarBind Successor(Oid oid, bool stuck)
    {
        if (_circles.TryGetValue(oid, out Oid again))
        {
            return new VarBind(again, _objects[again]);
        }

        int low = 0;
        int high = _objects.Count;
        while (low < high)
        {
            int middle = (low + high) / 2;
            (low, high) = _objects.Keys[middle] <= oid ? (middle + 1, high) : (low, middle);
        }

        if (stuck)
        {
            return new VarBind(oid, SnmpValue.Integer32(1));
        }

        return low < _objects.Count
            ? new VarBind(_objects.Keys[low], _objects.Values[low])
            : new VarBind(oid, SnmpValue.EndOfMibView);
    }
}
