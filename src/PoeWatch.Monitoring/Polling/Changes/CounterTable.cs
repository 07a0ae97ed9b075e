using PoeWatch.Domain.Readings.Changes;
using PoeWatch.Snmp;

namespace PoeWatch.Monitoring.Polling.Changes;

/// <summary>The fault counters of one port, without the name of its switch. Ordered by group and port.</summary>
internal readonly record struct CountedPort(int Group, int Port, PortCounts Counts) : IComparable<CountedPort>
{
    public int CompareTo(CountedPort other) => Group != other.Group ? Group.CompareTo(other.Group) : Port.CompareTo(other.Port);
}

/// <summary>Puts the columns of fault counters together, port by port. One a thread, for all agents: what it read lasts until it reads again.</summary>
internal sealed class CounterTable
{
    [ThreadStatic]
    private static CounterTable? t_ofThread;

    private readonly List<CountedPort> _ports = [];

    public static CounterTable OfThread => t_ofThread ??= new CounterTable();

    /// <summary>The ports that any column names, in order.</summary>
    /// <param name="columns">The five in the order of <see cref="PortCounts"/>.</param>
    public List<CountedPort> Read(IReadOnlyList<WalkColumn> columns)
    {
        _ports.Clear();
        Span<uint> index = stackalloc uint[2];
        for (var i = 0; i < columns.Count; i++)
        {
            // Columns of one table name the same rows in the same order: each is looked for behind the one before.
            var next = 0;
            for (WalkColumnReader rows = columns[i].Read(); rows.Next();)
            {
                if (rows.TryGetIndex(index, out var length) && length == 2 && index[0] <= int.MaxValue && index[1] <= int.MaxValue
                    && rows.TryGetInt64(out var value) && value is >= 0 and <= uint.MaxValue)
                {
                    next = Put(new CountedPort((int)index[0], (int)index[1], default), next, i, (uint)value) + 1;
                }
            }
        }

        return _ports;
    }

    /// <summary>Puts one counter of a port; the place of the port.</summary>
    private int Put(CountedPort port, int guess, int column, uint value)
    {
        var place = guess < _ports.Count && _ports[guess].CompareTo(port) == 0 ? guess : _ports.BinarySearch(port);
        if (place < 0)
        {
            place = ~place;
            _ports.Insert(place, port);
        }

        PortCounts c = _ports[place].Counts;
        _ports[place] = port with
        {
            Counts = column switch
            {
                0 => new PortCounts(value, c.InvalidSignature, c.PowerDenied, c.Overload, c.Short),
                1 => new PortCounts(c.MpsAbsent, value, c.PowerDenied, c.Overload, c.Short),
                2 => new PortCounts(c.MpsAbsent, c.InvalidSignature, value, c.Overload, c.Short),
                3 => new PortCounts(c.MpsAbsent, c.InvalidSignature, c.PowerDenied, value, c.Short),
                _ => new PortCounts(c.MpsAbsent, c.InvalidSignature, c.PowerDenied, c.Overload, value),
            },
        };
        return place;
    }
}
