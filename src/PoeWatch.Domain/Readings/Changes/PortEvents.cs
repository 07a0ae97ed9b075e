namespace PoeWatch.Domain.Readings.Changes;

/// <summary>How often each happened at one port between two readings of one life of its agent: what came and went between polls. Immutable.</summary>
/// <param name="Over">Time between the two.</param>
/// <param name="MpsAbsent">The device was gone or asleep: its signature for keeping power was missing.</param>
/// <param name="InvalidSignature">Something without a valid signature was connected.</param>
/// <param name="PowerDenied">It asked for power and the PSE had none left: such a port reads 'searching'.</param>
/// <param name="Overload">It drew too much.</param>
/// <param name="Short">It was short-circuited.</param>
public sealed record PortEvents(PsePortRef Port, TimeSpan Over, uint MpsAbsent, uint InvalidSignature, uint PowerDenied, uint Overload, uint Short)
{
    // A port tries again after 100 ms at the soonest (IEEE 802.3 Tdbo and backoff are longer): from memory, and only to tell a reset from a count.
    private const double PerSecondMax = 100;

    public bool IsQuiet => MpsAbsent == 0 && InvalidSignature == 0 && PowerDenied == 0 && Overload == 0 && Short == 0;

    /// <summary>What the counters say; a counter that was reset, or is not there, counts as nothing new.</summary>
    public static PortEvents Between(PsePortRef port, PortCounts before, PortCounts now, TimeSpan over) => new(
        port, over, Steps(before.MpsAbsent, now.MpsAbsent, over), Steps(before.InvalidSignature, now.InvalidSignature, over),
        Steps(before.PowerDenied, now.PowerDenied, over), Steps(before.Overload, now.Overload, over), Steps(before.Short, now.Short, over));

    private static uint Steps(uint? before, uint? now, TimeSpan over) =>
        before is { } from && now is { } to ? CounterSteps.Between(from, to, over, PerSecondMax) ?? 0 : 0;
}
