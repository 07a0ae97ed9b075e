using PoeWatch.Domain.PowerFlow;
using PoeWatch.Domain.Quantities;

namespace PoeWatch.Domain.Poe;

/// <summary>
/// Watts as LLDP's power via MDI carries them: steps of 0.1 W in 16 bits, <em>at the input of the PD</em>. Before the PSE's budget is charged the loss of the cable comes on
/// top. Unit: frame-encoder documentation of IEEE 802.3 power via MDI. Pure and thread safe.
/// </summary>
public static class LldpPower
{
    /// <summary>Highest raw value in the 12-octet form of 802.3at: 25.5 W (from memory).</summary>
    public const int MostRawTypes1And2 = 255;

    /// <summary>Highest raw value of a single-signature PD in the 29-octet form of 802.3bt: 99.9 W (from memory).</summary>
    public const int MostRawSingleSignature = 999;

    /// <summary>Highest raw value of each mode of a dual-signature PD: 49.9 W (from memory).</summary>
    public const int MostRawDualSignature = 499;

    private const double WattsPerStep = 0.1;

    /// <summary>Watts at the PD; null where the value is none (0) or more than the form can mean.</summary>
    /// <param name="raw">As it stands in the frame.</param>
    /// <param name="mostRaw">One of the three ceilings here.</param>
    public static Power? AtPd(int raw, int mostRaw = MostRawSingleSignature) =>
        raw >= 1 && raw <= mostRaw ? Power.FromWatts(raw * WattsPerStep) : null;

    /// <summary>The raw value of watts at the PD, rounded up: a request must not ask for too little.</summary>
    /// <exception cref="ArgumentOutOfRangeException">No raw value means so many watts.</exception>
    public static int ToRaw(Power atPd, int mostRaw = MostRawSingleSignature)
    {
        var raw = Math.Ceiling((atPd.Watts / WattsPerStep) - Rounding);
        return raw >= 1 && raw <= mostRaw
            ? (int)raw
            : throw new ArgumentOutOfRangeException(nameof(atPd), atPd, $"Give 0.1 W to {mostRaw * WattsPerStep} W.");
    }

    /// <summary>What a PSE sets aside for watts allocated at the PD: those and the loss on the way; null where the channel cannot carry them.</summary>
    /// <param name="pse">Volts at the PSE.</param>
    /// <param name="channel">Loop over all powered pairs.</param>
    public static Power? ReserveAtPse(Power allocatedAtPd, Voltage pse, Resistance channel) => LoopFlow.DrawAtSource(pse, channel, allocatedAtPd);

    /// <summary>As the standard reckons for a type: lowest volts at the PSE, worst channel of 100 m. Null outside the standard, or where it cannot be carried.</summary>
    /// <param name="pairs">2 or 4 powered pairs.</param>
    public static Power? ReserveAtPse(Power allocatedAtPd, PoeType pseType, int pairs) => PoeTables.LimitsOf(pseType) is { } limits
        ? ReserveAtPse(allocatedAtPd, limits.PseMinimumVoltage, limits.ChannelLoop(pairs))
        : null;

    private const double Rounding = 1e-9; // 25.5 W are 255 steps, not 256, whatever a double makes of them.
}
