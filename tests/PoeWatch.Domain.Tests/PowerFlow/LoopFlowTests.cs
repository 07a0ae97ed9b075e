using PoeWatch.Domain.PowerFlow;
using PoeWatch.Domain.Quantities;

namespace PoeWatch.Domain.Tests.PowerFlow;

/// <summary>One source, one loop, one load: the closed form against published numbers. Tolerances are relative unless a unit stands by them.</summary>
public sealed class LoopFlowTests
{
    // IEEE 802.3 class table (Ethernet Alliance overview, 2018; TI TPS2378 Table 1, TPS2379 Table 2): watts at PSE and PD; amperes and
    // volts of Types 1 and 2 from TPS2379 Table 2, the others follow from the circuit.
    [Theory]
    [InlineData(44, 20, 12.95, 0.3500, 37.00, 15.400)]
    [InlineData(50, 12.5, 25.5, 0.6000, 42.50, 30.000)]
    [InlineData(50, 6.25, 51, 1.2000, 42.50, 60.000)]
    [InlineData(52, 6.25, 62, 1.4424, 42.99, 75.002)]
    [InlineData(52, 6.25, 71.3, 1.7315, 41.18, 90.038)]
    [InlineData(50, 6.25, 40, 0.9016, 44.37, 45.081)]
    [InlineData(44, 20, 3.84, 0.0910, 42.18, 4.006)]
    [InlineData(44, 20, 6.49, 0.1590, 40.82, 6.996)]
    [InlineData(50, 12.5, 13, 0.2795, 46.51, 13.977)]
    [InlineData(50, 12.5, 6.49, 0.1343, 48.32, 6.716)]
    [InlineData(52, 12.5, 35.6, 0.8641, 41.20, 44.934)]

    // Worked from the wire table of Floyd at HyperPhysics (24 AWG 8.422 ohm/100 m, 23 AWG 6.679 ohm/100 m) by the same circuit.
    [InlineData(54, 8.422, 25.5, 0.5133, 49.68, 27.72)]
    [InlineData(54, 9.38, 25.5, 0.5190, 49.13, 28.03)]
    [InlineData(54, 4.211, 51, 1.0266, 49.68, 55.44)]
    [InlineData(54, 3.34, 71.3, 1.4505, 49.16, 78.33)]
    [InlineData(55, 3.34, 60, 1.1747, 51.08, 64.61)]
    [InlineData(48, 8.422, 12.95, 0.2839, 45.61, 13.63)]
    public void Load_behind_a_loop_takes_the_smaller_current(
        double volts, double ohms, double watts, double amperes, double voltsAtLoad, double wattsAtSource)
    {
        var point = LoopFlow.Solve(Voltage.FromVolts(volts), Resistance.FromOhms(ohms), Power.FromWatts(watts))!.Value;

        Assert.Equal(amperes, point.Current.Amperes, 0.001 * amperes);
        Assert.Equal(voltsAtLoad, point.Voltage.Volts, 0.001 * voltsAtLoad);
        Assert.Equal(wattsAtSource, (point.DrawAtInput + point.SegmentLoss).Watts, 0.001 * wattsAtSource);
        Assert.Equal(watts, point.DrawAtInput.Watts, 1e-9);
    }

    // No real root beyond V²/4R: 50 W at 50 V and 12.5 ohm, 24.2 W at 44 V and 20 ohm, 108.16 W at 52 V and 6.25 ohm.
    [Theory]
    [InlineData(50, 12.5, 50.0)]
    [InlineData(44, 20, 24.2)]
    [InlineData(52, 6.25, 108.16)]
    public void Nothing_can_be_fed_beyond_the_most_that_the_loop_carries(double volts, double ohms, double mostWatts)
    {
        var (source, loop) = (Voltage.FromVolts(volts), Resistance.FromOhms(ohms));

        Assert.Equal(mostWatts, LoopFlow.MostLoad(source, loop)!.Value.Watts, 1e-9);
        Assert.NotNull(LoopFlow.Solve(source, loop, Power.FromWatts(mostWatts - 1e-6)));
        Assert.Null(LoopFlow.Solve(source, loop, Power.FromWatts(mostWatts + 0.1)));
        Assert.Null(LoopFlow.DrawAtSource(source, loop, Power.FromWatts(mostWatts + 0.1)));
    }

    // IEEE 802.3 power study mailing list, msg00195: 44.2 V, 12.5 ohm, 0.35 A give 13.9 W at the PD.
    [Fact]
    public void Fixed_current_of_the_study_mail_arrives_as_13_9_watts()
    {
        var source = Voltage.FromVolts(44.2);

        var arriving = LoopFlow.ArrivingFrom(source, Resistance.FromOhms(12.5), source * Current.FromAmperes(0.35));

        Assert.Equal(13.9, arriving.Watts, 0.005 * 13.9);
    }

    // onsemi NCP1095 board manual, p. 2: a class 8 PD may take more than 71.3 W where the PSE stays at 90 W; 6.25 ohm is the worst channel.
    [Theory]
    [InlineData(6.25, 71.28)]
    [InlineData(3.34, 79.99)]
    [InlineData(1.67, 85.00)]
    public void Shorter_cable_lets_more_arrive_of_90_watts(double ohms, double arrivingWatts)
    {
        var arriving = LoopFlow.ArrivingFrom(Voltage.FromVolts(52), Resistance.FromOhms(ohms), Power.FromWatts(90));

        Assert.Equal(arrivingWatts, arriving.Watts, 0.001 * arrivingWatts);
    }

    // TI E2E forum 1165832: a 62 W PD at 37 V takes 1.68 A.
    [Fact]
    public void Class_7_pd_at_37_volts_takes_1_68_amperes()
    {
        var point = LoopFlow.Solve(Voltage.FromVolts(37), Resistance.Zero, Power.FromWatts(62))!.Value;

        Assert.Equal(1.68, point.Current.Amperes, 0.005 * 1.68);
    }

    // Electronic Design 21763348 (TI TPS2376-H): 26 W PDs work from at least 52 V over 100 m of Cat 5.
    [Theory]
    [InlineData(12.5, 30.2)]
    [InlineData(6.25, 27.8)]
    public void Pd_of_26_watts_works_from_52_volts_over_the_worst_channel(double ohms, double wattsAtSource)
    {
        var draw = LoopFlow.DrawAtSource(Voltage.FromVolts(52), Resistance.FromOhms(ohms), Power.FromWatts(26));

        Assert.Equal(wattsAtSource, draw!.Value.Watts, 0.05);
    }

    // mathscinotes (2017): up to 15 % is lost on a Type 2 worst-case channel.
    [Fact]
    public void Worst_type_2_channel_loses_15_percent()
    {
        var point = LoopFlow.Solve(Voltage.FromVolts(50), Resistance.FromOhms(12.5), Power.FromWatts(25.5))!.Value;

        Assert.Equal(0.15, point.SegmentLoss / (point.DrawAtInput + point.SegmentLoss), 1e-9);
    }

    // BS 7671 section 716: at most 0.750 A per conductor. Class 8 stays far below, over eight conductors (four there, four back).
    [Fact]
    public void Class_8_puts_0_433_amperes_on_a_conductor()
    {
        var point = LoopFlow.Solve(Voltage.FromVolts(52), Resistance.FromOhms(6.25), Power.FromWatts(71.3))!.Value;

        Assert.Equal(0.433, point.Current.Amperes / 4.0, 0.01 * 0.433);
    }

    [Fact]
    public void Even_a_short_loop_has_a_most_and_none_has_none()
    {
        Assert.Equal(50.0 * 50.0 / 0.4, LoopFlow.MostLoad(Voltage.FromVolts(50), Resistance.FromOhms(0.1))!.Value.Watts, 1e-9);
        Assert.Equal(50.0 * 50.0 / 0.02, LoopFlow.MostLoad(Voltage.FromVolts(50), Resistance.FromOhms(0.005))!.Value.Watts, 1e-6);
        Assert.Null(LoopFlow.MostLoad(Voltage.FromVolts(50), Resistance.Zero));
    }

    [Fact]
    public void No_load_draws_nothing_and_no_loop_loses_nothing()
    {
        var idle = LoopFlow.Solve(Voltage.FromVolts(54), Resistance.FromOhms(8), Power.Zero)!.Value;
        var near = LoopFlow.Solve(Voltage.FromVolts(54), Resistance.Zero, Power.FromWatts(27))!.Value;

        Assert.Equal((0.0, 54.0), (idle.Current.Amperes, idle.Voltage.Volts));
        Assert.Equal((0.5, 54.0, 0.0), (near.Current.Amperes, near.Voltage.Volts, near.SegmentLoss.Watts));
        Assert.Null(LoopFlow.MostLoad(Voltage.FromVolts(54), Resistance.Zero));
    }
}
