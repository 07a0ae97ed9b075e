using System.Numerics;
using PoeWatch.Domain.Readings;

namespace PoeWatch.Monitoring.Storage.Blocks;

/// <summary>The columns of a stored block that stand beside its payload, the same in every store. Immutable.</summary>
/// <param name="PseId">Element whose polls it holds.</param>
/// <param name="HourMicroseconds">Begin of its hour as <see cref="StoreTime"/> keeps time: a multiple of an hour. All its polls lie in that hour.</param>
/// <param name="Part">0 for the first block of that hour, rising: late polls and long hours take further parts.</param>
public readonly record struct BlockRow(string PseId, long HourMicroseconds, int Part)
{
    /// <summary>One hour in the unit of <see cref="HourMicroseconds"/>.</summary>
    public const long HourLength = 3_600_000_000;

    /// <summary>Begin of the hour that a time lies in.</summary>
    public static long HourOf(long microseconds) => (microseconds / HourLength * HourLength) - (microseconds % HourLength < 0 ? HourLength : 0);

    internal uint CheckSumSeed() =>
        BitOperations.Crc32C(BitOperations.Crc32C(CheckSum.Seed(uint.MaxValue, PseId), (ulong)HourMicroseconds), (uint)Part);
}

/// <summary>One poll in a block. Its interface names are not in the block: only the number of the row that has them.</summary>
/// <param name="Reading">The poll; its text clean in the sense of <see cref="StoreText"/>.</param>
/// <param name="NamesId">Row of its interface names; 0 where the agent mapped none.</param>
public readonly record struct BlockPoll(SwitchReading Reading, long NamesId);
