using System.Collections.Immutable;
using System.Runtime.CompilerServices;
using PoeWatch.Domain.Quantities;
using PoeWatch.Domain.Readings;
using PoeWatch.Monitoring.Abstractions;

namespace PoeWatch.Monitoring.Storage.Blocks;

/// <summary>
/// Reads blocks and journal as one history: in time order, each poll once, also while hours are packed beneath it. Goes page by page, so that a slow
/// reader holds neither a connection nor memory. Thread safe.
/// </summary>
public sealed class HistoryReader(IHistoryPages pages)
{
    private const int BlocksAPage = 96;
    private const int PollsAPage = 500;

    /// <summary>Readings of one element in [from, to).</summary>
    public async IAsyncEnumerable<SwitchReading> ReadAsync(
        string pseId, DateTimeOffset from, DateTimeOffset to, [EnumeratorCancellation] CancellationToken cancellationToken)
    {
        var names = new Dictionary<long, ImmutableDictionary<PsePortRef, string>> { [0] = ImmutableDictionary<PsePortRef, string>.Empty };
        await foreach (var hour in HoursAsync(pseId, from, to, cancellationToken))
        {
            foreach (var (reading, namesId) in Merged(hour))
            {
                if (reading.At < from || reading.At >= to)
                {
                    continue;
                }

                if (!names.TryGetValue(namesId, out var known))
                {
                    known = await pages.ReadNamesAsync(namesId, pseId, cancellationToken);
                    names.Add(namesId, known);
                }

                yield return reading with { InterfaceNames = known };
            }
        }
    }

    /// <summary>What those readings say of some ports.</summary>
    public async IAsyncEnumerable<PortHistoryPage> ReadPortsAsync(
        string pseId, IReadOnlyList<PsePortRef> ports, DateTimeOffset from, DateTimeOffset to, [EnumeratorCancellation] CancellationToken cancellationToken)
    {
        await foreach (var hour in HoursAsync(pseId, from, to, cancellationToken))
        {
            if (MergedPorts(hour, ports).Between(from, to) is { Polls.IsEmpty: false } page)
            {
                yield return page;
            }
        }
    }

    /// <summary>Newest reading of each element.</summary>
    public async Task<IReadOnlyList<SwitchReading>> ReadLatestAsync(CancellationToken cancellationToken)
    {
        var readings = new List<SwitchReading>();
        foreach (var newest in await pages.ReadNewestAsync(cancellationToken))
        {
            // While an element is polled its newest poll is in the journal. What was packed long ago is looked for in its block.
            var from = newest switch
            {
                { Poll: { } poll } when newest.BlockHour is not { } hour || hour + BlockRow.HourLength <= poll.Row.AtMicroseconds => poll.Row.AtMicroseconds,
                { BlockHour: { } hour } => hour,
                _ => long.MaxValue,
            };
            SwitchReading? last = null;
            if (from < long.MaxValue)
            {
                await foreach (var reading in ReadAsync(newest.PseId, StoreTime.FromMicroseconds(from), DateTimeOffset.MaxValue, cancellationToken))
                {
                    last = reading;
                }
            }

            if (last is not null)
            {
                readings.Add(last);
            }
        }

        return readings;
    }

    private async IAsyncEnumerable<StoredHour> HoursAsync(
        string pseId, DateTimeOffset from, DateTimeOffset to, [EnumeratorCancellation] CancellationToken cancellationToken)
    {
        var next = StoreTime.ToMicroseconds(from);
        var end = StoreTime.ToMicroseconds(to);
        var blocksMax = BlocksAPage;
        var coming = next <= end ? pages.ReadPageAsync(pseId, next, end, blocksMax, PollsAPage, cancellationToken) : null;
        try
        {
            while (coming is not null)
            {
                var page = await coming;
                var horizon = HorizonOf(page, blocksMax, end);
                var (start, isWhole) = (next, horizon > next);
                (next, blocksMax) = isWhole ? (horizon, blocksMax) : (next, blocksMax * 2);

                // The store reads the next page while this one is decoded.
                coming = next <= end ? pages.ReadPageAsync(pseId, next, end, blocksMax, PollsAPage, cancellationToken) : null;
                foreach (var hour in isWhole ? Split(page, start, horizon) : [])
                {
                    cancellationToken.ThrowIfCancellationRequested();
                    yield return hour;
                }
            }
        }
        finally
        {
            // Whoever stops in the middle leaves no reading of the store behind.
            if (coming is not null)
            {
                await ((Task)coming).ConfigureAwait(ConfigureAwaitOptions.SuppressThrowing);
            }
        }
    }

    // All before the horizon is on the page: the hour of the last block of a full page may have further parts.
    private static long HorizonOf(HistoryPage page, int blocksMax, long end)
    {
        var horizon = end + 1;
        if (page.Blocks.Count == blocksMax)
        {
            horizon = Math.Min(horizon, page.Blocks[^1].Row.HourMicroseconds);
        }

        if (page.Polls.Count == PollsAPage)
        {
            horizon = Math.Min(horizon, page.Polls[^1].Row.AtMicroseconds + 1);
        }

        return horizon;
    }

    private static IEnumerable<StoredHour> Split(HistoryPage page, long from, long horizon)
    {
        var (b, p) = (0, 0);
        while (true)
        {
            var hour = Math.Min(
                b < page.Blocks.Count ? page.Blocks[b].Row.HourMicroseconds : long.MaxValue,
                p < page.Polls.Count ? BlockRow.HourOf(page.Polls[p].Row.AtMicroseconds) : long.MaxValue);
            if (hour >= horizon)
            {
                yield break;
            }

            var (blocks, polls) = (new List<StoredBlock>(1), new List<StoredPoll>());
            for (; b < page.Blocks.Count && page.Blocks[b].Row.HourMicroseconds == hour; b++)
            {
                blocks.Add(page.Blocks[b]);
            }

            for (; p < page.Polls.Count && BlockRow.HourOf(page.Polls[p].Row.AtMicroseconds) == hour; p++)
            {
                polls.Add(page.Polls[p]);
            }

            yield return new StoredHour(blocks, polls, from, horizon);
        }
    }

    private static IEnumerable<BlockPoll> Merged(StoredHour hour)
    {
        if (hour is { Blocks: [var only], Polls: [] })
        {
            return BlockCodec.Decode(only.Row, only.Payload).Where(p => hour.Holds(StoreTime.ToMicroseconds(p.Reading.At)));
        }

        var polls = new SortedDictionary<long, BlockPoll>();
        foreach (var block in hour.Blocks)
        {
            foreach (var poll in BlockCodec.Decode(block.Row, block.Payload))
            {
                polls.TryAdd(StoreTime.ToMicroseconds(poll.Reading.At), poll);
            }
        }

        foreach (var poll in hour.Polls)
        {
            polls.TryAdd(poll.Row.AtMicroseconds, Journal(poll));
        }

        return polls.Where(p => hour.Holds(p.Key)).Select(p => p.Value);
    }

    private static PortHistoryPage MergedPorts(StoredHour hour, IReadOnlyList<PsePortRef> ports)
    {
        List<PortHistoryPage> parts = [.. hour.Blocks.Select(b => BlockCodec.DecodePorts(b.Row, b.Payload, ports))];
        if (hour.Polls.Count > 0)
        {
            parts.Add(PortPages.Of([.. hour.Polls.Select(p => Journal(p).Reading)], ports));
        }

        return (parts is [var only] ? only : PortPages.Merged(parts)).BetweenMicroseconds(hour.From, hour.Horizon);
    }

    private static BlockPoll Journal(in StoredPoll poll) =>
        new(SwitchReadingCodec.Decode(poll.Row, poll.Payload, ImmutableDictionary<PsePortRef, string>.Empty), poll.Row.NamesId);

    private sealed record StoredHour(List<StoredBlock> Blocks, List<StoredPoll> Polls, long From, long Horizon)
    {
        internal bool Holds(long microseconds) => microseconds >= From && microseconds < Horizon;
    }
}

/// <summary>Makes pages of port samples, joins and cuts them. Pure.</summary>
internal static class PortPages
{
    internal static PortHistoryPage Of(IReadOnlyList<SwitchReading> readings, IReadOnlyList<PsePortRef> ports) => new(
        [.. readings.Select(r => new PollMark(r.At, r.Outcome))],
        [.. ports.Select(port => readings.Select(r => Sample(r, port)).ToImmutableArray())]);

    /// <summary>Pages of the same ports in time order; of two polls in one microsecond that of the earlier page stays.</summary>
    internal static PortHistoryPage Merged(IReadOnlyList<PortHistoryPage> pages)
    {
        var places = new SortedDictionary<long, (int Page, int Poll)>();
        for (var page = 0; page < pages.Count; page++)
        {
            for (var poll = 0; poll < pages[page].Polls.Length; poll++)
            {
                places.TryAdd(StoreTime.ToMicroseconds(pages[page].Polls[poll].At), (page, poll));
            }
        }

        return new PortHistoryPage(
            [.. places.Values.Select(at => pages[at.Page].Polls[at.Poll])],
            [.. Enumerable.Range(0, pages[0].Ports.Length).Select(port => places.Values.Select(at => pages[at.Page].Ports[port][at.Poll]).ToImmutableArray())]);
    }

    internal static PortHistoryPage Between(this PortHistoryPage page, DateTimeOffset from, DateTimeOffset to) => page.Where(at => at >= from && at < to);

    internal static PortHistoryPage BetweenMicroseconds(this PortHistoryPage page, long from, long to) =>
        page.Where(at => StoreTime.ToMicroseconds(at) is var microseconds && microseconds >= from && microseconds < to);

    // Polls are in time order, so what stays is one stretch; as a rule all of it.
    private static PortHistoryPage Where(this PortHistoryPage page, Func<DateTimeOffset, bool> stays)
    {
        var (begin, end) = (0, page.Polls.Length);
        while (begin < end && !stays(page.Polls[begin].At))
        {
            begin++;
        }

        while (end > begin && !stays(page.Polls[end - 1].At))
        {
            end--;
        }

        return begin == 0 && end == page.Polls.Length
            ? page
            : new PortHistoryPage(page.Polls[begin..end], [.. page.Ports.Select(port => port[begin..end])]);
    }

    private static PortSample Sample(SwitchReading reading, PsePortRef port)
    {
        foreach (var found in reading.Ports)
        {
            if (found.Port == port)
            {
                return new PortSample(true, found.DrawAtPse is { } draw ? Power.FromMilliwatts(draw.Milliwatts) : null, found.Provenance, found.State);
            }
        }

        return default;
    }
}
