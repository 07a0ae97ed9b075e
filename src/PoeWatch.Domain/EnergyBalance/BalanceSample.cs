using PoeWatch.Domain.Quantities;

namespace PoeWatch.Domain.EnergyBalance;

/// <summary>What the far end of a metered segment tells of itself.</summary>
public enum FarEndMeter
{
    Unknown = 0,

    /// <summary>Watts at its outputs, together: the difference also holds its own draw and what its converter loses.</summary>
    OutputWatts = 1,

    /// <summary>Watts at its input.</summary>
    InputWatts = 2,

    /// <summary>Volts at its input.</summary>
    InputVolts = 3,
}

/// <summary>One moment of a segment that is metered at both ends, or the mean over a stretch of time in which nothing changed.</summary>
/// <param name="AtPse">Watts that the PSE gives into the segment.</param>
/// <param name="WattsAtFarEnd">At the outputs or at the input, as the far end tells; null where it tells none.</param>
/// <param name="VoltsAtFarEnd">At its input; null where it tells none.</param>
/// <param name="Conductors">How warm the copper was taken to be. What is not known is 20 °C: the resistance found is then that of the copper as warm as it was.</param>
public readonly record struct BalanceSample(DateTimeOffset At, Power AtPse, Power? WattsAtFarEnd, Voltage? VoltsAtFarEnd, Temperature Conductors)
{
    /// <summary>The temperature that counts where none is known.</summary>
    public static Temperature Reference { get; } = Temperature.FromCelsius(20.0);

    /// <summary>At the time of the first; all tell the same things.</summary>
    internal static BalanceSample Mean(IReadOnlyCollection<BalanceSample> of)
    {
        var first = of.First();
        return new BalanceSample(
            first.At,
            Power.FromWatts(of.Average(s => s.AtPse.Watts)),
            first.WattsAtFarEnd is null ? null : Power.FromWatts(of.Average(s => s.WattsAtFarEnd!.Value.Watts)),
            first.VoltsAtFarEnd is null ? null : Voltage.FromVolts(of.Average(s => s.VoltsAtFarEnd!.Value.Volts)),
            Temperature.FromCelsius(of.Average(s => s.Conductors.Celsius)));
    }
}
