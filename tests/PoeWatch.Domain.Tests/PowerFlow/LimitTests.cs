using PoeWatch.Domain.Design;
using PoeWatch.Domain.Poe;
using PoeWatch.Domain.PowerFlow;
using static PoeWatch.Domain.Tests.PowerFlow.PowerFlowSolverTests;
using static PoeWatch.TestKit.Design.CableRunBuilder;

namespace PoeWatch.Domain.Tests.PowerFlow;

/// <summary>Each limit: where it stands, its numbers, when it breaks and what a technician reads.</summary>
public sealed class LimitTests
{
    [Fact]
    public void Port_within_its_limit_says_what_is_left()
    {
        var limit = Only(LimitKind.PsePort, OnPort(Device("cam", Loop(8.422, 2)), limitWatts: 30, PoeType.Type2), ("cam", 25.5));

        Assert.Equal("Port quay-west:1/7 would give 27.72 W, at most 30 W: 2.28 W left.", limit.Sentence);
        Assert.False(limit.IsBroken);
        Assert.Equal(("quay-west:1/7", 30.0, "W"), (limit.ElementId, limit.LimitValue, limit.Unit));
    }

    [Fact]
    public void Port_beyond_its_limit_says_by_how_much()
    {
        var limit = Only(LimitKind.PsePort, OnPort(Device("cam", Loop(8.422, 2)), limitWatts: 15.4, PoeType.Type2), ("cam", 25.5));

        Assert.True(limit.IsBroken);
        Assert.Equal("Port quay-west:1/7 would give 27.72 W, at most 15.4 W: 12.32 W too much.", limit.Sentence);
    }

    [Fact]
    public void Injector_is_held_to_its_rating()
    {
        var run = OnInjector(Device("ptz", Loop(0), PoeClass.Class8), ratingWatts: 60);

        Assert.Equal("Injector inj would give 61 W, at most 60 W: 1 W too much.", Only(LimitKind.InjectorRating, run, ("ptz", 61)).Sentence);
        Assert.False(Only(LimitKind.InjectorRating, run, ("ptz", 60)).IsBroken);
        Assert.DoesNotContain(Solve(run, OperatingMode.Expected, ("ptz", 1)).Limits, limit => limit.Kind == LimitKind.PsePort);
    }

    // The class table is rounded: 71.3 W behind the worst channel are 90.04 W at a 90 W port (Ethernet Alliance overview, class table);
    // 71.4 W are 90.21 W, 0.23 % too much.
    [Theory]
    [InlineData(71.3, false)]
    [InlineData(71.4, true)]
    public void Guaranteed_mode_forgives_the_rounding_of_the_class_table_and_no_more(double watts, bool isBroken)
    {
        var run = OnPort(Device("lamp", Cable(100, 24), PoeClass.Class8));

        var limit = Solve(run, OperatingMode.Guaranteed, ("lamp", watts)).Limits.Single(l => l.Kind == LimitKind.PsePort);

        Assert.Equal(isBroken, limit.IsBroken);
        Assert.True(limit.Value > limit.LimitValue);
    }

    [Fact]
    public void Expected_mode_forgives_nothing() =>
        Assert.True(Only(LimitKind.PsePort, OnPort(Device("lamp", Loop(0), PoeClass.Class8)), ("lamp", 90.01)).IsBroken);

    [Fact]
    public void Extender_is_held_to_its_input_and_each_output()
    {
        var run = OnInjector(Extender(
            "ext", Loop(0), [Device("cam", Loop(0)), Device("horn", Loop(0))], inputWatts: 60, ownWatts: 2, outputWatts: 30));

        var limits = Solve(run, OperatingMode.Expected, ("cam", 31), ("horn", 28)).Limits;

        Assert.Equal("Extender ext would take 61 W, at most 60 W: 1 W too much.", limits.Single(l => l.Kind == LimitKind.ExtenderInput).Sentence);
        Assert.Equal(
            [
                "Extender ext at output 1 would give 31 W, at most 30 W: 1 W too much.",
                "Extender ext at output 2 would give 28 W, at most 30 W: 2 W left.",
            ],
            limits.Where(l => l.Kind == LimitKind.ExtenderOutput).Select(l => l.Sentence));
    }

    [Fact]
    public void Output_counts_all_that_hangs_behind_it_once()
    {
        var run = OnInjector(Extender("near", Loop(0), [Extender("far", Loop(0), [Device("cam", Loop(0)), Device("horn", Loop(0))], ownWatts: 2)]));

        var outputs = Solve(run, OperatingMode.Expected, ("cam", 12), ("horn", 4)).Limits.Where(l => l.Kind == LimitKind.ExtenderOutput);

        Assert.Equal([("near", 18.0), ("far", 12.0), ("far", 4.0)], outputs.Select(l => (l.ElementId, Math.Round(l.Value, 6))));
    }

    [Fact]
    public void Pass_through_switch_is_held_to_input_each_output_and_total()
    {
        var run = OnPort(PassThrough(
            "pts", Loop(0), [Device("a", Loop(0)), Device("b", Loop(0)), Device("c", Loop(0))],
            efficiency: 0.9, inputWatts: 71.3, ownWatts: 6, outputWatts: 30, totalWatts: 60));

        var limits = Solve(run, OperatingMode.Expected, ("a", 29), ("b", 20), ("c", 14)).Limits;

        Assert.Equal(
            "Pass-through switch pts would take 76 W, at most 71.3 W: 4.7 W too much.",
            limits.Single(l => l.Kind == LimitKind.PassThroughInput).Sentence);
        Assert.Equal(
            "Pass-through switch pts at all outputs together would give 63 W, at most 60 W: 3 W too much.",
            limits.Single(l => l.Kind == LimitKind.PassThroughTotal).Sentence);
        Assert.Equal([29.0, 20.0, 14.0], limits.Where(l => l.Kind == LimitKind.PassThroughOutput).Select(l => Math.Round(l.Value, 6)));
    }

    [Fact]
    public void Device_is_held_to_its_class()
    {
        var run = OnPort(Device("cam", Loop(0), PoeClass.Class3), limitWatts: 30, PoeType.Type2);

        Assert.Equal("Device cam of class 3 would take 13.5 W, at most 12.95 W: 0.55 W too much.", Only(LimitKind.PdClass, run, ("cam", 13.5)).Sentence);
        Assert.False(Only(LimitKind.PdClass, run, ("cam", 12.95)).IsBroken);
    }

    // TI TPS2379 Table 2 and an injector maker's table: PDs of class 3, 4, 6 and 8 work from 37, 42.5, 42.5 and 41.1 V.
    [Theory]
    [InlineData(PoeClass.Class3, 37.0)]
    [InlineData(PoeClass.Class4, 42.5)]
    [InlineData(PoeClass.Class6, 42.5)]
    [InlineData(PoeClass.Class8, 41.1)]
    public void Device_is_held_to_the_voltage_window_of_its_type(PoeClass requested, double leastVolts)
    {
        var run = OnPort(Device("pd", Loop(10), requested), volts: 50);

        Assert.Equal(leastVolts, Only(LimitKind.PdVoltage, run, ("pd", 10)).LimitValue);
    }

    [Fact]
    public void Too_little_voltage_is_told_as_too_little()
    {
        // 24 V + sqrt(24² - 12.5 x 25.5) V = 40.04 V.
        var limit = Only(LimitKind.PdVoltage, OnPort(Device("pd", Loop(12.5, 2), PoeClass.Class4), volts: 48), ("pd", 25.5));

        Assert.True(limit.IsBroken);
        Assert.Equal("Device pd would get 40.04 V, at least 42.5 V: 2.46 V too little.", limit.Sentence);
    }

    [Fact]
    public void A_limit_that_is_just_met_leaves_nothing() => Assert.Equal(
        "Injector inj would give 30 W, at most 30 W: 0 W left.",
        Only(LimitKind.InjectorRating, OnInjector(Device("cam", Loop(0)), ratingWatts: 30), ("cam", 30)).Sentence);

    [Fact]
    public void Voltage_to_spare_is_told_as_what_is_left()
    {
        // 25 V + sqrt(25² - 10 x 10) V = 47.91 V.
        var limit = Only(LimitKind.PdVoltage, OnPort(Device("pd", Loop(10), PoeClass.Class4), volts: 50), ("pd", 10));

        Assert.Equal("Device pd would get 47.91 V, at least 42.5 V: 5.41 V left.", limit.Sentence);
    }

    [Fact]
    public void Element_that_passes_power_on_is_held_to_the_window_of_its_feed()
    {
        var run = OnInjector(Extender("ext", Loop(1), []), type: PoeType.Type4);

        Assert.Equal(41.1, Only(LimitKind.PdVoltage, run).LimitValue);
    }

    // Fiber Optic Association, PoE overview: 0.35, 0.6, 0.6 and 0.96 A per pairset. Four pairs are two pairsets.
    [Theory]
    [InlineData(PoeType.Type1, 2, 0.35)]
    [InlineData(PoeType.Type2, 2, 0.6)]
    [InlineData(PoeType.Type3, 2, 0.6)]
    [InlineData(PoeType.Type3, 4, 1.2)]
    [InlineData(PoeType.Type4, 2, 0.96)]
    [InlineData(PoeType.Type4, 4, 1.92)]
    public void Segment_is_held_to_the_amperes_of_its_pairs(PoeType type, int pairs, double amperes) =>
        Assert.Equal(amperes, Only(LimitKind.PairCurrent, OnPort(Device("pd", Loop(1, pairs)), type: type), ("pd", 5)).LimitValue);

    [Fact]
    public void Output_that_is_regulated_is_a_feed_of_its_own_type()
    {
        var run = OnPort(PassThrough("pts", Loop(1), [Device("cam", Loop(1, 2))], outputVolts: 54, outputWatts: 30), type: PoeType.Type4);

        var currents = Solve(run, OperatingMode.Expected, ("cam", 5)).Limits.Where(l => l.Kind == LimitKind.PairCurrent);

        Assert.Equal([1.92, 0.6], currents.Select(l => l.LimitValue));
    }

    // ISO/IEC 11801 and ANSI/TIA-568: a channel of at most 100 m. A repeater begins a new one.
    [Fact]
    public void Each_segment_is_held_to_100_meters_by_itself()
    {
        var run = OnPort(Extender("ext", Cable(100), [Device("cam", Cable(101))]));

        var lengths = Solve(run, OperatingMode.Expected, ("cam", 5)).Limits.Where(l => l.Kind == LimitKind.SegmentLength).ToArray();

        Assert.Equal([false, true], lengths.Select(l => l.IsBroken));
        Assert.Equal(("to-cam", 101.0, "m"), (lengths[1].ElementId, lengths[1].Value, lengths[1].Unit));
        Assert.Equal("Segment to-cam to cam has a length of 101 m, at most 100 m: 1 m too much.", lengths[1].Sentence);
    }

    [Fact]
    public void Every_limit_names_where_it_comes_from()
    {
        var run = OnPort(PassThrough("pts", Cable(50), [Extender("ext", Cable(50), [Device("cam", Cable(50))])]));

        var limits = Solve(run, OperatingMode.Expected, ("cam", 5)).Limits;

        Assert.Equal(17, limits.Select(l => l.Kind).Distinct().Count());
        Assert.All(limits, limit => Assert.NotEmpty(limit.Source));
    }

    private static LimitMargin Only(LimitKind kind, CableRun run, params (string Id, double Watts)[] watts) =>
        Solve(run, OperatingMode.Expected, watts).Limits.Single(limit => limit.Kind == kind);

    private static PowerFlowResult Solve(CableRun run, OperatingMode mode, params (string Id, double Watts)[] watts) =>
        PowerFlowSolver.Solve(run, Demand(watts), mode);
}
