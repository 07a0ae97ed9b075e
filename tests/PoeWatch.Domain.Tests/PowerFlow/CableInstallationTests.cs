using PoeWatch.Domain.PowerFlow;
using PoeWatch.Domain.Quantities;

namespace PoeWatch.Domain.Tests.PowerFlow;

/// <summary>Cables as they hang: cords and contacts, warmth, bundles, unequal pairs.</summary>
public sealed class CableInstallationTests
{
    [Theory]
    [InlineData(1)]
    [InlineData(3)]
    [InlineData(8)]
    public void Power_flows_over_two_or_four_pairs_only(int pairs) =>
        Assert.Throws<ArgumentOutOfRangeException>(() => PairUnbalance.PerConductor(Current.FromAmperes(1), pairs));

    // A maker of cable testers, knowledge base: 84 m at 40 °C. ANSI/TIA-568-C.2 Annex G: 75 m at 60 °C, the rest of the series from memory, 1 m.
    [Theory]
    [InlineData(-20, 90)]
    [InlineData(20, 90)]
    [InlineData(25, 89)]
    [InlineData(30, 87)]
    [InlineData(35, 85.5)]
    [InlineData(40, 84)]
    [InlineData(45, 81.7)]
    [InlineData(50, 79.5)]
    [InlineData(55, 77.2)]
    [InlineData(60, 75)]
    [InlineData(42.5, 82.85)]
    [InlineData(57.5, 76.1)]
    [InlineData(70, 71.43)]
    public void Warm_unscreened_cable_must_be_shorter(double celsius, double meters) =>
        Assert.Equal(meters, LengthDerating.LongestCable(Celsius(celsius), isScreened: false).Meters, 0.01);

    // The same table from the other end: attenuation rises 0.4 % per degree to 40 °C and 0.6 % above (ANSI/TIA-568-C.2 clause 6.4.7), 1 m.
    [Theory]
    [InlineData(25)]
    [InlineData(40)]
    [InlineData(50)]
    [InlineData(60)]
    public void Shorter_lengths_follow_the_rise_of_attenuation_within_a_metre(double celsius)
    {
        var rise = (0.004 * Math.Min(20, celsius - 20)) + (0.006 * Math.Max(0, celsius - 40));

        Assert.Equal(90 / (1 + rise), LengthDerating.LongestCable(Celsius(celsius), isScreened: false).Meters, 1.0);
    }

    // Screened cable: 0.2 % per degree from 20 to 60 °C (ANSI/TIA-568-C.2 clause 6.4.7): 90 m / 1.08.
    [Fact]
    public void Screened_cable_loses_less() =>
        Assert.Equal(90 / 1.08, LengthDerating.LongestCable(Celsius(60), isScreened: true).Meters, 1e-9);

    // Vaden, contribution on cable heating: 0.72 A per pair; 1 A per pair against what was measured there in the worst case.
    [Theory]
    [InlineData(BundledCable.Category5e, 10.37, 16.79)]
    [InlineData(BundledCable.Category6, 7.78, 14.95)]
    [InlineData(BundledCable.Category6A, 6.22, 11.73)]
    public void Bundles_warm_as_published(BundledCable cable, double riseAt720, double measuredAt1000)
    {
        Assert.Equal(riseAt720, CableHeat.BundleRise(cable, Current.FromAmperes(0.72)), 0.001 * riseAt720);
        Assert.InRange(CableHeat.BundleRise(cable, Current.FromAmperes(1)), measuredAt1000, measuredAt1000 + 3.5);
    }

    // Same source, 0.75 A per pair: 10.81, 7.40, 7.40 degrees were measured; the fit with its margin covers all three.
    [Theory]
    [InlineData(BundledCable.Category5e, 10.81)]
    [InlineData(BundledCable.Category6, 7.40)]
    [InlineData(BundledCable.Category6A, 7.40)]
    public void Fit_with_its_margin_covers_every_measurement(BundledCable cable, double measured) =>
        Assert.InRange(measured, 0, CableHeat.BundleRise(cable, Current.FromAmperes(0.75)) + CableHeat.FitMargin);

    // TSB-184-A (trade press): bundles of 24 or fewer.
    [Fact]
    public void Bundles_should_be_small() => Assert.Equal((24, 15.0, 1.0), (CableHeat.LargestBundle, CableHeat.LargestRise, CableHeat.FitMargin));

    [Fact]
    public void Cable_of_a_bundle_must_be_named() =>
        Assert.Throws<ArgumentOutOfRangeException>(() => CableHeat.BundleRise(BundledCable.Unknown, Current.FromAmperes(1)));

    // UK training text on bundles: about 0.27 W/m for category 6 at 0.6 A per conductor.
    [Fact]
    public void A_metre_of_loaded_cable_gives_off_0_27_watts() =>
        Assert.Equal(0.2701, CableHeat.PerMeter(Current.FromAmperes(0.6), Resistance.FromOhms(0.0938)).Watts, 0.001);

    // Class 8 at its worst: 1.7308 A in all, 0.433 A per conductor: under 0.75 A (BS 7671 section 716) and 0.5 A (NEC table 725.144).
    [Fact]
    public void Class_8_stays_within_what_conductors_and_pairsets_carry()
    {
        var all = Current.FromAmperes(1.7308);

        var conductor = PairUnbalance.PerConductor(all, pairs: 4);
        var higher = PairUnbalance.HigherPairset(all, PairUnbalance.BetweenPairsets);

        Assert.Equal(0.433, conductor.Amperes, 0.001);
        Assert.Equal(2 * conductor.Amperes, PairUnbalance.PerConductor(all, pairs: 2).Amperes, 1e-12);
        Assert.True(conductor < PairUnbalance.ConductorLimitNec && PairUnbalance.ConductorLimitNec < PairUnbalance.ConductorLimitBs7671);
        Assert.Equal((0.75, 0.5), (PairUnbalance.ConductorLimitBs7671.Amperes, PairUnbalance.ConductorLimitNec.Amperes));

        // IEEE 802.3 4PPoE mail msg00418: 7 %. 0.926 A of at most 0.960 A.
        Assert.Equal(7.0, PairUnbalance.BetweenPairsets.Percent, 1e-9);
        Assert.Equal(0.926, higher.Amperes, 0.001);
        Assert.InRange(higher.Amperes, 0, 0.960);
    }

    [Fact]
    public void Sun_heats_a_conduit_to_60_degrees_unless_measured() => Assert.Equal(60, CableHeat.SunHeatedConduit.Celsius);

    private static Temperature Celsius(double celsius) => Temperature.FromCelsius(celsius);
}
