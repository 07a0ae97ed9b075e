using PoeWatch.Domain.Design;
using PoeWatch.Domain.Poe;
using PoeWatch.Domain.PowerFlow;
using PoeWatch.Domain.Quantities;
using static PoeWatch.TestKit.Design.CableRunBuilder;

namespace PoeWatch.Domain.Tests.PowerFlow;

/// <summary>Ohms of cables against a published wire table and published losses.</summary>
public sealed class CableResistanceTests
{
    // Wire table of Floyd at HyperPhysics, ohm per 1000 ft at 20 °C, turned into metres.
    [Theory]
    [InlineData(22, 16.14)]
    [InlineData(23, 20.36)]
    [InlineData(24, 25.67)]
    [InlineData(26, 40.81)]
    public void Conductors_have_the_resistance_of_the_wire_table(int awg, double ohmsPerThousandFeet)
    {
        var perMeter = CableResistance.PerMeter(awg, Temperature.FromCelsius(20)).Ohms;

        Assert.Equal(ohmsPerThousandFeet / 304.8, perMeter, 0.0005 * perMeter);
    }

    // The wire table with 0.00393 per degree (annealed copper, NBS Handbook 100; from memory).
    [Theory]
    [InlineData(24, -20, 70.98)]
    [InlineData(24, 0, 77.60)]
    [InlineData(24, 40, 90.84)]
    [InlineData(24, 60, 97.46)]
    [InlineData(23, 40, 72.04)]
    [InlineData(23, 60, 77.29)]
    [InlineData(22, 60, 61.29)]
    public void Warm_conductors_resist_more(int awg, double celsius, double ohmsPerKilometer)
    {
        var perMeter = CableResistance.PerMeter(awg, Temperature.FromCelsius(celsius)).Ohms;

        Assert.Equal(ohmsPerKilometer, 1000.0 * perMeter, 0.001 * ohmsPerKilometer);
    }

    [Fact]
    public void Unknown_gauge_is_refused() =>
        Assert.Throws<ArgumentOutOfRangeException>(() => CableResistance.PerMeter(25, Temperature.FromCelsius(20)));

    // 100 m of 24 AWG: what a tester prints for one pair, over two pairs, over four pairs (wire table).
    [Fact]
    public void Tester_loop_halves_over_two_pairs_and_quarters_over_four()
    {
        const double Tester = 16.84;
        var measured = Cable(100) with { MeasuredLoop = Resistance.FromOhms(Tester) };

        Assert.Equal(8.422, Expected(Cable(100, 24, pairs: 2)), 0.001 * 8.422);
        Assert.Equal(4.211, Expected(Cable(100, 24, pairs: 4)), 0.001 * 4.211);
        Assert.Equal(Tester / 2, Expected(measured with { Pairs = 2 }), 1e-12);
        Assert.Equal(Tester / 4, Expected(measured with { Pairs = 4 }), 1e-12);
    }

    [Fact]
    public void Measured_loop_stands_for_gauge_length_material_and_temperature()
    {
        var odd = Cable(40, 26, 2, celsius: 70) with { Material = ConductorMaterial.CopperCladAluminium, MeasuredLoop = Resistance.FromOhms(5) };

        Assert.Equal(2.5, Expected(odd), 1e-12);
    }

    // Cable vendors' notes: copper-clad aluminium has 55 to 60 % more resistance than copper.
    [Fact]
    public void Copper_clad_aluminium_resists_half_as_much_again_and_more()
    {
        var clad = Cable(80) with { Material = ConductorMaterial.CopperCladAluminium };

        Assert.InRange(Expected(clad) / Expected(Cable(80)), 1.55, 1.60 + 1e-9);
    }

    // ISO/IEC 11801 Class D (from memory): tester loop at most 25 ohm, that is 12.5 ohm over two pairs. 100 m of 26 AWG break it.
    [Fact]
    public void Guarantee_takes_the_larger_of_design_and_channel_limit()
    {
        Assert.Equal(12.5, Guaranteed(Cable(100, 24, pairs: 2)), 1e-12);
        Assert.Equal(6.25, Guaranteed(Cable(100, 24, pairs: 4)), 1e-12);
        Assert.Equal(5.0, Guaranteed(Cable(40, 24, pairs: 2)), 1e-12);
        Assert.Equal(13.39, Guaranteed(Cable(100, 26, pairs: 2)), 0.001 * 13.39);
        Assert.Equal(20.0, CableResistance.Of(Cable(100, 24, pairs: 2), OperatingMode.Guaranteed, PoeType.Type1).Ohms, 1e-12);
    }

    [Fact]
    public void Operating_mode_must_be_said() =>
        Assert.Throws<ArgumentOutOfRangeException>(() => CableResistance.Of(Cable(10), OperatingMode.Unknown));

    // 2014 worked example for Cat 6: 7 ohm per conductor and 100 m, 0.175 A per conductor: 2.45 V dropped, 0.858 W lost; 802.3af allows 2.45 W.
    [Fact]
    public void Worked_cat_6_example_loses_0_858_watts()
    {
        var segment = Cable(100, pairs: 2) with { MeasuredLoop = Resistance.FromOhms(14) };
        var current = Current.FromAmperes(2 * 0.175);

        var drop = current * CableResistance.Of(segment, OperatingMode.Expected);

        Assert.Equal(2.45, drop.Volts, 0.01 * 2.45);
        Assert.Equal(0.858, (drop * current).Watts, 0.01 * 0.858);
    }

    // General Cable paper (Gould), as printed in Cabling Installation & Maintenance: 328 ft of Cat 5e lose 82 mW at 4.93 W and 201 mW at 7.5 W.
    [Theory]
    [InlineData(4.93, 0.082)]
    [InlineData(7.5, 0.201)]
    public void Published_losses_of_cat_5e_are_met_within_5_percent(double watts, double lossWatts)
    {
        var loop = CableResistance.Of(Cable(100, 24, pairs: 2), OperatingMode.Expected);

        var point = LoopFlow.Solve(Voltage.FromVolts(50), loop, Power.FromWatts(watts))!.Value;

        Assert.Equal(lossWatts, point.SegmentLoss.Watts, 0.05 * lossWatts);
    }

    // Same paper: Cat 6A loses 56 mW of those 82 mW, 137 mW of 201 mW. It names no gauge; Cat 6A is made of 22 or 23 AWG.
    [Theory]
    [InlineData(56.0 / 82.0)]
    [InlineData(137.0 / 201.0)]
    public void Published_saving_of_cat_6a_lies_between_that_of_22_and_23_awg(double ratio)
    {
        var cat5e = Expected(Cable(100, 24));

        Assert.InRange(ratio, Expected(Cable(100, 22)) / cat5e, Expected(Cable(100, 23)) / cat5e);
    }

    private static double Expected(CableSegment segment) => CableResistance.Of(segment, OperatingMode.Expected).Ohms;

    private static double Guaranteed(CableSegment segment) => CableResistance.Of(segment, OperatingMode.Guaranteed).Ohms;
}
