using System.Collections.Immutable;
using PoeWatch.Domain.Readings;
using PoeWatch.Domain.Readings.Changes;
using PoeWatch.Snmp;

namespace PoeWatch.Monitoring.Polling.Changes;

/// <summary>
/// The fault counters of one agent's ports, read on a slower beat than their states: what came and went between two polls shows only here. Used by one poll
/// at a time; no I/O.
/// </summary>
internal sealed class PortCounterWatch
{
    // pethPsePortMPSAbsentCounter, …InvalidSignatureCounter, …PowerDeniedCounter, …OverLoadCounter, …ShortCounter of RFC 3621.
    private static readonly Oid[] s_columns = [.. new[] { 8, 11, 12, 13, 14 }.Select(column => Oid.Parse(FormattableString.Invariant($"1.3.6.1.2.1.105.1.1.1.{column}")))];

    // In port order, and its own room: it is written over by each reading.
    private CountedPort[] _last = [];
    private TimeSpan? _lastAt;

    /// <summary>The medium set of objects.</summary>
    public static WalkRequest Request { get; } = new(s_columns);

    /// <summary>When the counters were last asked for, by a monotonic clock; null where never.</summary>
    public TimeSpan? AskedAt { get; set; }

    /// <summary>Takes what a walk brought; the ports where anything happened since the last one.</summary>
    public ImmutableArray<PortEvents> Take(string pseId, IReadOnlyList<WalkColumn> columns, TimeSpan now)
    {
        List<CountedPort> read = CounterTable.OfThread.Read(columns);
        ImmutableArray<PortEvents> events = _lastAt is { } at ? Between(pseId, read, now - at) : [];
        _last = _last.Length == read.Count ? _last : new CountedPort[read.Count];
        read.CopyTo(_last);
        _lastAt = now;
        return events;
    }

    /// <summary>After a change of the agent the next reading is a first one, and it is due.</summary>
    public void Forget() => (_last, _lastAt, AskedAt) = ([], null, null);

    private ImmutableArray<PortEvents> Between(string pseId, List<CountedPort> read, TimeSpan over)
    {
        ImmutableArray<PortEvents>.Builder? events = null;
        var place = 0;
        foreach (CountedPort port in read)
        {
            while (place < _last.Length && _last[place].CompareTo(port) < 0)
            {
                place++;
            }

            if (place < _last.Length && _last[place].CompareTo(port) == 0 && _last[place].Counts != port.Counts)
            {
                PortEvents happened = PortEvents.Between(new PsePortRef(pseId, port.Group, port.Port), _last[place].Counts, port.Counts, over);
                if (!happened.IsQuiet)
                {
                    (events ??= ImmutableArray.CreateBuilder<PortEvents>()).Add(happened);
                }
            }
        }

        return events?.ToImmutable() ?? [];
    }
}
