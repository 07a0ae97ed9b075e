using PoeWatch.Domain.Poe;
using PoeWatch.Domain.Quantities;

namespace PoeWatch.Monitoring.Polling.DrawSources;

/// <summary>Most watts that a PSE gives for so many at the PD: over the longest lawful channel at the lowest lawful volts. Pure.</summary>
internal static class ChannelLoss
{
    /// <summary>
    /// IEEE 802.3, clause 33: P = V (V - sqrt(V^2 - 4 R P_PD)) / 2R, with the least volts of the PSE's type and its channel. Over four pairs the loop is
    /// half of that of two; more than a type 2 PD may take goes over four. Null where no such channel carries it.
    /// </summary>
    public static Power? AtPse(Power atPd)
    {
        PoeType type = atPd.Watts switch
        {
            <= 13.0 => PoeType.Type1,
            <= 25.5 => PoeType.Type2,
            <= 51 => PoeType.Type3,
            _ => PoeType.Type4,
        };
        TypeLimits limits = PoeTables.LimitsOf(type)!.Value;
        var volts = limits.PseMinimumVoltage.Volts;
        var ohms = (type is PoeType.Type3 or PoeType.Type4 ? limits.ChannelLoopFourPair : limits.ChannelLoopTwoPair).Ohms;
        var under = (volts * volts) - (4 * ohms * atPd.Watts);
        return under >= 0 ? Power.FromWatts(volts * (volts - Math.Sqrt(under)) / (2 * ohms)) : null;
    }
}
