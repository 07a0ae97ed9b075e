using System.Collections.Immutable;
using PoeWatch.Domain.Quantities;
using PoeWatch.Domain.Readings;

namespace PoeWatch.Monitoring.Polling.Ups;

/// <summary>Objects of UPS-MIB as an agent sent them; null where it did not.</summary>
/// <param name="OutputWatts">By output line.</param>
/// <param name="OutputLoads">Percent by output line.</param>
public sealed record UpsAnswer(
    long? Battery, long? SecondsOnBattery, long? MinutesRemaining, long? Charge, long? Source, ImmutableArray<long> OutputWatts, ImmutableArray<long> OutputLoads);

/// <summary>Turns what RFC 1628 has into figures; what lies outside of its ranges counts as not said. Pure.</summary>
public static class UpsDecoder
{
    // RFC 1628 bounds neither; agents write large numbers for "not known": common practice, no source. No battery here lasts a month.
    private static readonly TimeSpan s_remainingMax = TimeSpan.FromDays(30);
    private const long WattsMax = 10_000_000;

    /// <summary>The figures, or null with the reason for people.</summary>
    public static UpsFigures? Decode(UpsAnswer answer, out string problem)
    {
        ArgumentNullException.ThrowIfNull(answer);
        problem = "";
        if (answer is { Battery: null, SecondsOnBattery: null, MinutesRemaining: null, Source: null })
        {
            problem = "The agent answers but has no UPS-MIB (1.3.6.1.2.1.33). Check that it is the UPS' agent, and that the credentials may see that tree.";
            return null;
        }

        return new UpsFigures(
            answer.Source is >= 1 and <= 7 ? (UpsSource)answer.Source : UpsSource.Unknown,
            answer.Battery is >= 2 and <= 4 ? (UpsBatteryState)answer.Battery : UpsBatteryState.Unknown,
            answer.SecondsOnBattery is >= 0 and <= int.MaxValue ? TimeSpan.FromSeconds(answer.SecondsOnBattery.Value) : null,
            Remaining(answer.MinutesRemaining),
            answer.Charge is >= 0 and <= 100 ? (int)answer.Charge : null,
            answer.OutputLoads.Where(load => load is >= 0 and <= 200).Select(load => (int?)load).Max(),
            answer.OutputWatts.IsEmpty || answer.OutputWatts.Any(watts => watts is < 0 or > WattsMax) ? null : Power.FromWatts(answer.OutputWatts.Sum()));
    }

    // The object's type starts at 1; an agent that sends 0 means that nothing is left.
    private static TimeSpan? Remaining(long? minutes) =>
        minutes is >= 0 and <= int.MaxValue && TimeSpan.FromMinutes(minutes.Value) is var time && time <= s_remainingMax ? time : null;
}
