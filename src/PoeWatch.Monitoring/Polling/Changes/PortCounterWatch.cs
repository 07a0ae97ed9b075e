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

    private Dictionary<PsePortRef, PortCounts> _last = [];
    private TimeSpan? _lastAt;

    /// <summary>The medium set of objects.</summary>
    public static WalkRequest Request { get; } = new(s_columns);

    /// <summary>When the counters were last asked for, by a monotonic clock; null where never.</summary>
    public TimeSpan? AskedAt { get; set; }

    /// <summary>Takes what a walk brought; the ports where anything happened since the last one.</summary>
    public ImmutableArray<PortEvents> Take(string pseId, IReadOnlyList<WalkColumn> columns, TimeSpan now)
    {
        var counts = new Dictionary<PsePortRef, uint?[]>();
        Span<uint> index = stackalloc uint[2];
        for (var i = 0; i < columns.Count; i++)
        {
            for (WalkColumnReader rows = columns[i].Read(); rows.Next();)
            {
                if (rows.TryGetIndex(index, out var length) && length == 2 && index[0] <= int.MaxValue && index[1] <= int.MaxValue
                    && rows.TryGetInt64(out var value) && value is >= 0 and <= uint.MaxValue)
                {
                    var port = new PsePortRef(pseId, (int)index[0], (int)index[1]);
                    (counts.TryGetValue(port, out var row) ? row : counts[port] = new uint?[s_columns.Length])[i] = (uint)value;
                }
            }
        }

        Dictionary<PsePortRef, PortCounts> read = counts.ToDictionary(c => c.Key, c => new PortCounts(c.Value[0], c.Value[1], c.Value[2], c.Value[3], c.Value[4]));
        ImmutableArray<PortEvents> events = _lastAt is not { } at
            ? []
            : [.. read.Where(c => _last.ContainsKey(c.Key)).Select(c => PortEvents.Between(c.Key, _last[c.Key], c.Value, now - at)).Where(e => !e.IsQuiet).OrderBy(e => e.Port.Group).ThenBy(e => e.Port.Port)];
        (_last, _lastAt) = (read, now);
        return events;
    }

    /// <summary>After a change of the agent the next reading is a first one, and it is due.</summary>
    public void Forget() => (_last, _lastAt, AskedAt) = ([], null, null);
}
