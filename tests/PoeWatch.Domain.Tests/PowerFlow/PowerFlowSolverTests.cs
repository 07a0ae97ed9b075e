using PoeWatch.Domain.Design;
using PoeWatch.Domain.Poe;
using PoeWatch.Domain.PowerFlow;
using PoeWatch.Domain.Quantities;
using static PoeWatch.TestKit.Design.CableRunBuilder;

namespace PoeWatch.Domain.Tests.PowerFlow;

/// <summary>
/// Whole runs. Numbers marked "by hand" were computed outside this program, place by place, from the wire table of Floyd at HyperPhysics and
/// the circuit law; own draw and efficiency of pole switches are common practice, no source.
/// </summary>
public sealed class PowerFlowSolverTests
{
    private static readonly FlowNode s_cameraA = Device("a", Cable(30, 24, pairs: 2), PoeClass.Class3);
    private static readonly FlowNode s_cameraB = Device("b", Cable(50, 24, pairs: 2));

    // By hand.
    [Theory]
    [InlineData(30, 12.95, 0.2426, 53.39, 13.099)]
    [InlineData(50, 25.5, 0.4910, 51.93, 26.515)]
    public void Short_cables_to_cameras_come_out_as_computed_by_hand(double meters, double watts, double amperes, double volts, double pseWatts)
    {
        var run = OnPort(Device("cam", Cable(meters, 24, pairs: 2)), limitWatts: 30, PoeType.Type2);

        var result = Solve(run, ("cam", watts));

        AssertPoint(result, "cam", volts, amperes, 0.001);
        Assert.Equal(pseWatts, result.DrawAtPse!.Value.Watts, 0.001 * pseWatts);
    }

    // The tangent of 1250 W at 50 V over 2 ohm is as steep as the cable's own line: 1 - 1250 / 50² · 2 = 0, so they never meet.
    [Fact]
    public void Load_whose_tangent_runs_beside_the_line_of_its_cable_cannot_be_fed()
    {
        var run = OnPort(Extender("ext", Loop(0), [Device("cam", Loop(2))], ownWatts: 0), volts: 50);

        var result = Solve(run, ("cam", 1250));

        Assert.Equal(FlowOutcome.CannotBeFed, result.Outcome);
        Assert.StartsWith("Segment to-cam to cam (2 ohm) cannot carry", result.Reason, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(3)]
    [InlineData(20)]
    public void Demand_of_an_element_that_the_run_does_not_have_is_passed_over(int cameras)
    {
        var run = OnPort(Extender("ext", Cable(80), [.. Enumerable.Range(1, cameras).Select(n => Device($"cam-{n}", Cable(10)))]));

        Assert.Equal(Solve(run, ("cam-2", 5)).DrawAtPse, Solve(run, ("cam-2", 5), ("elsewhere", 40)).DrawAtPse);
    }

    [Theory]
    [InlineData(3)]
    [InlineData(20)]
    public void Further_load_at_an_element_that_the_run_does_not_have_is_refused_by_name(int cameras)
    {
        var run = OnPort(Extender("ext", Cable(80), [.. Enumerable.Range(1, cameras).Select(n => Device($"cam-{n}", Cable(10)))]));

        var refused = Assert.Throws<ArgumentException>(() => ExtraWattsFinder.Find(run, Demand(("cam-2", 5)), "elsewhere", OperatingMode.Expected));

        Assert.Contains("has no element 'elsewhere'", refused.Message, StringComparison.Ordinal);
    }

    // By hand: regulated 54 V outputs, own 6 W, 92 % efficient, behind 80 m of 23 AWG.
    [Fact]
    public void Regulated_pass_through_parts_the_run_in_two()
    {
        var run = OnPort(PassThrough("pts", Cable(80, 23), [s_cameraA, s_cameraB], outputVolts: 54));

        var result = Solve(run, ("a", 12.95), ("b", 25.5));

        AssertPoint(result, "pts", 51.45, 0.9535, 0.002);
        Assert.Equal(49.06, result.Points["pts"].DrawAtInput.Watts, 0.002 * 49.06);
        Assert.Equal(51.49, result.DrawAtPse!.Value.Watts, 0.002 * 51.49);
        Assert.Equal(2.43, result.Points["pts"].SegmentLoss.Watts, 0.002 * 2.43);
        AssertPoint(result, "a", 53.39, 0.2426, 0.001);
    }

    // By hand: the same poles with outputs at the voltage that arrives.
    [Fact]
    public void Unregulated_pass_through_hands_the_arriving_voltage_on()
    {
        var run = OnPort(PassThrough("pts", Cable(80, 23), [s_cameraA, s_cameraB], outputVolts: null, efficiency: 1));

        var result = Solve(run, ("a", 12.95), ("b", 25.5));

        AssertPoint(result, "pts", 51.634, 0.8857, 0.002);
        Assert.Equal(50.99, result.Points["a"].Voltage.Volts, 0.002 * 50.99);
        Assert.Equal(49.46, result.Points["b"].Voltage.Volts, 0.002 * 49.46);
        Assert.Equal(47.828, result.DrawAtPse!.Value.Watts, 0.01);
        Assert.Equal(2.096 + 0.163 + 1.119, result.CableLoss!.Value.Watts, 0.01);
        Assert.Equal(12.95 + 25.5 + 6.0 + result.CableLoss.Value.Watts, result.DrawAtPse.Value.Watts, 1e-6);
    }

    [Fact]
    public void Load_named_at_an_element_passes_its_converter()
    {
        var run = OnPort(PassThrough("pts", Loop(0), [], ownWatts: 6, efficiency: 0.5));

        Assert.Equal(6.0 + (10.0 / 0.5), Solve(run, ("pts", 10)).DrawAtPse!.Value.Watts, 1e-9);
    }

    [Fact]
    public void Elements_draw_their_own_watts_where_nothing_hangs()
    {
        var run = OnInjector(Extender("ext", Cable(100), [], ownWatts: 2));

        Assert.Equal(2.0, Solve(run).Points["ext"].DrawAtInput.Watts, 1e-9);
    }

    [Fact]
    public void Points_are_found_by_the_name_of_every_element()
    {
        var points = Solve(OnInjector(Extender("ext", Cable(100), [Device("cam", Loop(1))])), ("cam", 5)).Points;

        Assert.Equal(["ext", "cam"], points.Keys);
        Assert.Equal((true, true, false), (points.ContainsKey("ext"), points.ContainsKey("cam"), points.ContainsKey("horn")));
    }

    // No real root beyond V²/4R = 50 W.
    [Fact]
    public void Load_beyond_the_copper_cannot_be_fed_and_says_where()
    {
        var run = OnPort(Device("cam", Loop(12.5, pairs: 2)), volts: 50);

        var result = Solve(run, ("cam", 50.1));

        Assert.Equal(FlowOutcome.CannotBeFed, result.Outcome);
        Assert.Null(result.DrawAtPse);
        Assert.Null(result.CableLoss);
        Assert.Empty(result.Points);
        Assert.Equal(
            "Segment to-cam to cam (12.5 ohm) cannot carry what hangs behind it: the devices of the run ask for 50.1 W together, at 50 W the voltage collapses.",
            result.Reason);
        var collapse = Assert.Single(result.Broken);
        Assert.Equal((LimitKind.VoltageCollapse, "to-cam"), (collapse.Kind, collapse.ElementId));
        Assert.Equal(50.0, collapse.LimitValue, 1e-5);
    }

    [Fact]
    public void Load_at_the_very_edge_is_fed()
    {
        var run = OnPort(Device("cam", Loop(12.5, pairs: 2)), volts: 50);

        Assert.Equal(25.0, Solve(run, ("cam", 50)).Points["cam"].Voltage.Volts, 1e-6);
    }

    [Fact]
    public void Collapse_behind_an_extender_is_found_at_the_feeding_segment()
    {
        var run = OnPort(Extender("ext", Loop(12), [Device("a", Loop(0.5)), Device("b", Loop(0.5))], ownWatts: 0), volts: 54);

        var result = Solve(run, ("a", 30), ("b", 31));

        Assert.Equal(FlowOutcome.CannotBeFed, result.Outcome);
        Assert.Equal("to-ext", Assert.Single(result.Broken).ElementId);
        Assert.Equal(FlowOutcome.Solved, Solve(run, ("a", 29), ("b", 29)).Outcome);
    }

    [Fact]
    public void Collapse_far_out_is_found_at_the_far_segment()
    {
        var run = OnPort(Extender("ext", Loop(0.5), [Device("a", Loop(0.5)), Device("b", Loop(40))], ownWatts: 0), volts: 54);

        Assert.Equal("to-b", Assert.Single(Solve(run, ("a", 20), ("b", 19)).Broken).ElementId);
        Assert.Equal(FlowOutcome.Solved, Solve(run, ("a", 20), ("b", 17)).Outcome);
    }

    // 52 V, 6.25 ohm, 80 W has a root (2.037 A, 39.27 V, 105.9 W) that IEEE 802.3-2022 Tables 145-1 and 145-16 forbid.
    [Fact]
    public void Root_outside_the_standard_is_flagged()
    {
        var run = OnPort(Device("lamp", Loop(6.25), PoeClass.Class8), limitWatts: 120, volts: 52);

        var result = Solve(run, ("lamp", 80));

        AssertPoint(result, "lamp", 39.27, 2.037, 0.001);
        Assert.Equal(105.9, result.DrawAtPse!.Value.Watts, 0.001 * 105.9);
        Assert.Equal(
            [LimitKind.PsePort, LimitKind.PairCurrent, LimitKind.PairsetCurrent, LimitKind.PdVoltage, LimitKind.PdClass],
            result.Broken.Select(limit => limit.Kind));
        Assert.Equal(99.9, result.Broken.First().LimitValue);
    }

    [Fact]
    public void Demand_below_zero_is_refused() =>
        Assert.Throws<ArgumentOutOfRangeException>(() => Solve(OnPort(Device("cam", Cable(10))), ("cam", -1)));

    [Fact]
    public void Guarantee_starts_from_the_lowest_voltage_of_the_type()
    {
        var run = OnPort(PassThrough("pts", Cable(50), [s_cameraB], outputVolts: 54, outputWatts: 30), type: PoeType.Type4);

        var result = PowerFlowSolver.Solve(run, Demand(("b", 20)), OperatingMode.Guaranteed);

        var uplink = result.Points["pts"];
        Assert.Equal(52.0, uplink.Voltage.Volts + (uplink.Current.Amperes * 3.125), 1e-9);
        var camera = result.Points["b"];
        Assert.Equal(50.0, camera.Voltage.Volts + (camera.Current.Amperes * 6.25), 1e-9);
    }

    [Fact]
    public void Source_outside_the_standard_has_no_limits_but_its_own()
    {
        var run = OnInjector(Device("horn", Cable(20), PoeClass.Class3), ratingWatts: 24, PoeType.Unknown, volts: 24);

        var result = PowerFlowSolver.Solve(run, Demand(("horn", 10)), OperatingMode.Guaranteed);

        Assert.DoesNotContain(result.Limits, limit => limit.Kind == LimitKind.PairCurrent);
        Assert.Equal(24.0, result.Points["horn"].Voltage.Volts + (result.Points["horn"].Current.Amperes * 1.25), 1e-9);
        Assert.Contains(result.Broken, limit => limit.Kind == LimitKind.PdVoltage);
    }

    internal static Dictionary<string, Power> Demand(params (string Id, double Watts)[] watts) =>
        watts.ToDictionary(demand => demand.Id, demand => Power.FromWatts(demand.Watts));

    private static PowerFlowResult Solve(CableRun run, params (string Id, double Watts)[] watts) =>
        PowerFlowSolver.Solve(run, Demand(watts), OperatingMode.Expected);

    private static void AssertPoint(PowerFlowResult result, string id, double volts, double amperes, double tolerance)
    {
        Assert.Equal(FlowOutcome.Solved, result.Outcome);
        Assert.Equal(volts, result.Points[id].Voltage.Volts, tolerance * volts);
        Assert.Equal(amperes, result.Points[id].Current.Amperes, tolerance * amperes);
    }
}
