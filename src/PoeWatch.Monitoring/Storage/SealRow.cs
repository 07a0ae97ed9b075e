using System.Buffers;
using System.Collections.Immutable;
using System.Globalization;
using PoeWatch.Domain.Evidence.Seals;
using PoeWatch.Monitoring.Abstractions;

namespace PoeWatch.Monitoring.Storage;

/// <summary>How both stores write leaves and roots. Pure and thread safe.</summary>
public static class SealRow
{
    /// <summary>Packs the times of a leaf's polls: their number, then each as the step from the one before, the first from the begin of the quarter-hour.</summary>
    public static byte[] PackPolls(StoredSeal leaf)
    {
        var output = new ArrayBufferWriter<byte>(8 + (leaf.PollTimes.Length * 5));
        output.WriteVarint((ulong)leaf.PollTimes.Length);
        var before = StoreTime.ToMicroseconds(leaf.Start);
        foreach (var time in leaf.PollTimes)
        {
            output.WriteVarint(checked((ulong)(time - before)));
            before = time;
        }

        return output.WrittenSpan.ToArray();
    }

    /// <summary>A stored leaf.</summary>
    /// <exception cref="StoreException">The row is damaged.</exception>
    public static StoredSeal Of(long id, int kind, string pseId, DateTimeOffset start, byte[] polls, byte[] hash)
    {
        try
        {
            var input = new PackedReader(polls);
            var times = ImmutableArray.CreateBuilder<long>();
            var count = input.ReadCount("polls", 1);
            var time = StoreTime.ToMicroseconds(start);
            for (var i = 0; i < count; i++)
            {
                time += input.ReadLong("step");
                times.Add(time);
            }

            return new StoredSeal(id, (SealKind)kind, pseId, start, times.ToImmutable(), Hash(hash));
        }
        catch (InvalidDataException broken)
        {
            throw new StoreException($"Leaf {id} of the hash tree cannot be read: {broken.Message}. Restore the store from a backup.", broken);
        }
    }

    /// <exception cref="StoreException">The row is damaged.</exception>
    public static Digest Hash(byte[] hash) => hash.Length == Digest.Bytes
        ? Digest.Of(hash)
        : throw new StoreException($"A hash of the tree has {hash.Length} bytes: the row is damaged. Restore the store from a backup.");

    public static string Day(DateOnly day) => day.ToString("yyyy-MM-dd", CultureInfo.InvariantCulture);

    public static DateOnly Day(string day) => DateOnly.ParseExact(day, "yyyy-MM-dd", CultureInfo.InvariantCulture);

    /// <summary>What is thrown where the tree is not as long as a batch expects.</summary>
    public static StoreException OtherSize(long size, long expected) =>
        new(FormattableString.Invariant($"The hash tree has {size} leaves, not {expected}: another service writes to this store. Let only one."));
}
