using System.Numerics;
using PoeWatch.Domain.Readings;

namespace PoeWatch.Monitoring.Storage;

/// <summary>The columns of a stored poll that stand beside its packed payload, the same in every store. Immutable.</summary>
/// <param name="PseId">Element that was polled.</param>
/// <param name="AtMicroseconds">Time as <see cref="StoreTime"/> keeps it.</param>
/// <param name="Outcome">How the poll ended.</param>
/// <param name="Detail">Text for people, clean in the sense of <see cref="StoreText"/>; empty where there is none.</param>
/// <param name="NamesId">Row of the interface names that were in force; 0 where the agent mapped none.</param>
public readonly record struct PollRow(string PseId, long AtMicroseconds, PollOutcome Outcome, string Detail, long NamesId)
{
    /// <summary>The columns of a reading.</summary>
    public static PollRow Of(SwitchReading reading, long namesId) =>
        new(reading.PseId, StoreTime.ToMicroseconds(reading.At), reading.Outcome, StoreText.Clean(reading.Detail), namesId);

    // The check sum of the payload begins with the columns: a payload that got under another row's time or element is found out too.
    internal uint CheckSumSeed()
    {
        var crc = BitOperations.Crc32C(CheckSum.Seed(uint.MaxValue, PseId), (ulong)AtMicroseconds);
        crc = BitOperations.Crc32C(crc, (byte)Outcome);
        return BitOperations.Crc32C(CheckSum.Seed(crc, Detail), (ulong)NamesId);
    }
}
