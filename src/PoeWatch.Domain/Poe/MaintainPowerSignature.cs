using PoeWatch.Domain.Quantities;

namespace PoeWatch.Domain.Poe;

/// <summary>
/// The little current that tells a PSE that a PD is still there (MPS, maintain power signature). Without it the PSE takes power off, which is right when somebody
/// unplugs a device and puzzling when a device sleeps too deeply. Immutable and thread safe; <c>default</c> is no row of the table.
/// </summary>
/// <param name="Draw">Amperes that the PD draws at least in each pulse.</param>
/// <param name="PdPulse">How long each pulse of the PD lasts at least.</param>
/// <param name="PdPeriod">A pulse comes at least once in this time.</param>
/// <param name="PsePulse">A pulse of this length is enough for the PSE.</param>
/// <param name="PseDropOutShortest">A PSE may take power off after this time without a pulse.</param>
/// <param name="PseDropOutLongest">A PSE takes power off after this time without a pulse at the latest.</param>
/// <param name="Source">Where the numbers were read.</param>
public readonly record struct MaintainPowerSignature(
    Current Draw, TimeSpan PdPulse, TimeSpan PdPeriod, TimeSpan PsePulse, TimeSpan PseDropOutShortest, TimeSpan PseDropOutLongest, string Source)
{
    private const string Old = "TI TPS2373 data sheet, maintain power signature; PSE times: TI TPS23880 data sheet; IEEE 802.3 clause 33";
    private const string New = "TI TPS2373 data sheet, maintain power signature (a tenth of the old pulse); PSE times: TI TPS23882 data sheet; IEEE 802.3 clause 145";

    /// <summary>For a PD of a class behind a PSE of a type.</summary>
    /// <remarks>The short pulse needs a PSE that knows it: behind Types 1 and 2, and behind equipment outside the standard, the long one is needed.</remarks>
    public static MaintainPowerSignature For(PoeType pseType, PoeClass requested)
    {
        var milliamperes = requested > PoeClass.Class4 ? 16.0 : 10.0;
        return PoeTables.ClauseOf(pseType) == PoeClause.Clause145
            ? Row(milliamperes, 7.5, 325.0, 6.0, 320.0, 400.0, New)
            : Row(milliamperes, 75.0, 325.0, 60.0, 300.0, 400.0, Old);
    }

    /// <summary>Watts below which a device that draws evenly may be taken for unplugged: 10 mA at 50 V are 0.5 W.</summary>
    public Power LeastEvenDraw(Voltage atPd) => Draw * atPd;

    /// <summary>Watts of a device that only keeps power on, over time: its pulses and nothing between them.</summary>
    public Power LeastAverageDraw(Voltage atPd) => Draw * atPd * (PdPulse / PdPeriod);

    private static MaintainPowerSignature Row(
        double milliamperes, double pdPulse, double pdPeriod, double psePulse, double dropOutShortest, double dropOutLongest, string source) => new(
            Current.FromAmperes(milliamperes / 1000.0),
            TimeSpan.FromMilliseconds(pdPulse),
            TimeSpan.FromMilliseconds(pdPeriod),
            TimeSpan.FromMilliseconds(psePulse),
            TimeSpan.FromMilliseconds(dropOutShortest),
            TimeSpan.FromMilliseconds(dropOutLongest),
            source);
}
