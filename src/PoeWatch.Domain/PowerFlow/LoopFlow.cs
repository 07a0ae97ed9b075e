using PoeWatch.Domain.Quantities;

namespace PoeWatch.Domain.PowerFlow;

/// <summary>
/// One source, one loop of resistance, one constant-power load: the closed form behind the class equation of IEEE 802.3. Of the two
/// currents that satisfy it the smaller is the physical one; the other lies beyond collapse. Pure and thread safe.
/// </summary>
public static class LoopFlow
{
    /// <summary>State at the load, or null where the loop cannot carry it (more than <see cref="MostLoad"/>).</summary>
    /// <param name="source">Volts at the feeding end, above 0.</param>
    /// <param name="loop">There and back, 0 or more.</param>
    /// <param name="load">Watts at the fed end, 0 or more.</param>
    public static FlowPoint? Solve(Voltage source, Resistance loop, Power load)
    {
        var amperes = Amperes(source.Volts, loop.Ohms, load.Watts);
        if (double.IsNaN(amperes))
        {
            return null;
        }

        var volts = source.Volts - (amperes * loop.Ohms);
        return new FlowPoint(
            Voltage.FromVolts(volts),
            Current.FromAmperes(amperes),
            Power.FromWatts(volts * amperes),
            Power.FromWatts(amperes * amperes * loop.Ohms));
    }

    /// <summary>Watts out of the source for a load at the fed end; null where the loop cannot carry it.</summary>
    public static Power? DrawAtSource(Voltage source, Resistance loop, Power load) =>
        Solve(source, loop, load) is { } point ? source * point.Current : null;

    /// <summary>Watts that reach the fed end when the source gives <paramref name="drawAtSource"/>.</summary>
    public static Power ArrivingFrom(Voltage source, Resistance loop, Power drawAtSource)
    {
        var current = drawAtSource / source;
        return (source - (current * loop)) * current;
    }

    /// <summary>The most that any load can take over a loop; null where the loop has no resistance.</summary>
    public static Power? MostLoad(Voltage source, Resistance loop) =>
        loop.Ohms > 0.0 ? Power.FromWatts(source.Volts * source.Volts / (4.0 * loop.Ohms)) : null;

    // 2P / (V + sqrt(V² - 4RP)) is the smaller root without the cancellation of the schoolbook form, and holds for R = 0.
    internal static double Amperes(double volts, double ohms, double watts)
    {
        var discriminant = (volts * volts) - (4.0 * ohms * watts);
        return discriminant < 0.0 ? double.NaN : 2.0 * watts / (volts + Math.Sqrt(discriminant));
    }
}
