using System.Collections.Immutable;
using Microsoft.Extensions.Logging;
using PoeWatch.Domain.Readings;
using PoeWatch.Monitoring.Abstractions;

namespace PoeWatch.Monitoring.Storage.Blocks;

/// <summary>
/// Packs hours of the journal into blocks. Reads and packs beside the writer; only the exchange itself, blocks in and rows out, is a transaction, so
/// that appending never waits for it. One at a time.
/// </summary>
public sealed partial class HistoryPacker(IHistoryPages pages, ILogger log)
{
    /// <summary>More polls than this are shared out to several blocks: a reader of single ports decodes no more than it needs.</summary>
    public const int PollsMax = 90;

    // What fits into a page of PostgreSQL (8 KiB) beside the row's other columns.
    private const int BytesMax = 8_000;

    // Hours that go in one transaction: some thousand rows, a few milliseconds.
    private const int HoursAWrite = 32;

    private readonly Dictionary<string, long> _unpackable = new(StringComparer.Ordinal);

    /// <summary>Packs of each element the oldest hour that has journal rows and ended by <paramref name="before"/>.</summary>
    /// <returns>How many hours were packed; 0 where none is left.</returns>
    public async Task<int> PackAsync(DateTimeOffset before, CancellationToken cancellationToken)
    {
        var end = BlockRow.HourOf(StoreTime.ToMicroseconds(before));
        var packed = new List<PackedHour>();
        var count = 0;
        foreach (var (pseId, oldest) in await pages.FindOldestAsync(end, _unpackable, cancellationToken))
        {
            var hour = BlockRow.HourOf(oldest);
            var page = await pages.ReadPageAsync(pseId, hour, hour + BlockRow.HourLength - 1, int.MaxValue, int.MaxValue, cancellationToken);
            try
            {
                packed.Add(Pack(pseId, hour, page));
            }
            catch (StoreException damaged)
            {
                // The rest of the history must not wait for it. The rows stay as they are, and reading them tells the same.
                _unpackable[pseId] = hour + BlockRow.HourLength;
                LogUnpackable(pseId, StoreTime.FromMicroseconds(hour), damaged.Message);
            }

            if (packed.Count == HoursAWrite)
            {
                count += await WriteAsync(packed, cancellationToken);
            }
        }

        return count + await WriteAsync(packed, cancellationToken);
    }

    /// <summary>Packs one hour: what is in a block already only goes from the journal.</summary>
    /// <exception cref="StoreException">A row or a block of that hour is damaged.</exception>
    public static PackedHour Pack(string pseId, long hour, HistoryPage page)
    {
        var known = new HashSet<long>();
        var part = 0;
        foreach (var block in page.Blocks)
        {
            known.UnionWith(BlockCodec.DecodeTimes(block.Row, block.Payload));
            part = block.Row.Part + 1;
        }

        var fresh = page.Polls.Where(p => !known.Contains(p.Row.AtMicroseconds)).Select(p => new BlockPoll(
            SwitchReadingCodec.Decode(p.Row, p.Payload, ImmutableDictionary<PsePortRef, string>.Empty), p.Row.NamesId)).ToArray();
        var blocks = new List<StoredBlock>();
        var shares = (fresh.Length + PollsMax - 1) / PollsMax;
        for (var share = 0; share < shares; share++)
        {
            Add(fresh.AsSpan((fresh.Length * share / shares)..(fresh.Length * (share + 1) / shares)));
        }

        return new PackedHour(pseId, blocks, [.. page.Polls.Select(p => p.Row.AtMicroseconds)]);

        void Add(ReadOnlySpan<BlockPoll> polls)
        {
            var row = new BlockRow(pseId, hour, part);
            var payload = BlockCodec.Encode(row, polls);
            if (payload.Length > BytesMax && polls.Length > 1)
            {
                Add(polls[..(polls.Length / 2)]);
                Add(polls[(polls.Length / 2)..]);
                return;
            }

            blocks.Add(new StoredBlock(row, payload));
            part++;
        }
    }

    private async Task<int> WriteAsync(List<PackedHour> packed, CancellationToken cancellationToken)
    {
        var count = packed.Count;
        if (count > 0)
        {
            await pages.WritePackedAsync(packed, cancellationToken);
            packed.Clear();
        }

        return count;
    }

    [LoggerMessage(2020, LogLevel.Error, "The hour from {Hour} of '{PseId}' cannot be packed and stays in the journal: {Reason}")]
    private partial void LogUnpackable(string pseId, DateTimeOffset hour, string reason);
}
