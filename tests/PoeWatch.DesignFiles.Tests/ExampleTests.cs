using PoeWatch.Domain.Design;
using PoeWatch.Domain.PowerFlow;
using PoeWatch.Domain.Quantities;
using PoeWatch.Domain.Readings;

namespace PoeWatch.DesignFiles.Tests;

/// <summary>
/// One example per kind of feed that the trade builds, held against figures worked by hand. Method: a constant-power load P behind a loop R
/// at V volts takes I = (V - sqrt(V² - 4RP)) / 2R. Ohms per metre of one conductor at 20 C: 24 AWG 0.08422, 23 AWG 0.06679 (wire table of
/// Floyd at HyperPhysics); a loop over two pairs is r·L, over four pairs r·L/2. Common practice, no source: group budget 720 W on 24 ports,
/// 95 W at a port or injector, 30 W at a plain port or pass-through output, 100 m a segment, about 200 m with one repeater.
/// </summary>
public sealed class ExampleTests
{
    [Theory]
    [InlineData("examples/first.yaml")]
    [InlineData("examples/direct-run.yaml")]
    [InlineData("examples/injector-and-extender.yaml")]
    [InlineData("examples/pass-through-chain.yaml")]
    [InlineData("examples/cabinet-behind-fibre.yaml")]
    [InlineData("examples/mixed-devices.yaml")]
    [InlineData("examples/csv-lists/design.yaml")]
    [InlineData("examples/warm-bundles.yaml")]
    public void Is_valid(string name) => Examples.Valid(name);

    [Fact]
    public void A_port_feeds_a_camera_over_one_hundred_metres()
    {
        var model = Examples.Valid("examples/direct-run.yaml");
        var flow = Solve(model, "landing:1/3", "design");

        // R = 8.422 ohm, V = 54 V, P = 25.5 W: 0.5133 A, 49.68 V, 2.219 W lost, 27.72 W at the PSE.
        Assert.Equal(720, model.Switches["landing"].Groups[1].Budget.Watts);
        Assert.Equal(100, model.CableRuns["landing:1/3"].Root.Incoming.Length.Meters);
        Near(0.5133, flow.Points["ramp-camera"].Current.Amperes, 0.0001);
        Near(49.68, flow.Points["ramp-camera"].Voltage.Volts, 0.01);
        Near(2.219, flow.CableLoss!.Value.Watts, 0.001);
        Near(27.72, flow.DrawAtPse!.Value.Watts, 0.01);
    }

    [Fact]
    public void A_run_behind_an_injector_is_unmetered_and_its_switch_port_rightly_shows_no_pd()
    {
        var model = Examples.Valid("examples/injector-and-extender.yaml");
        var run = Assert.Single(model.CableRuns.Values);

        Assert.True(run.IsUnmetered);
        Assert.Equal((95.0, "ramp-injector"), (run.Source.Limit.Watts, run.Source.InjectorId));
        Assert.Equal("ramp-injector", model.DataSidePorts[new PsePortRef("landing", 1, 3)]);
        Assert.Empty(model.CableRunByPort);
        Assert.Equal(["ramp-camera", "ramp-horn"], run.Root.Children.Select(c => c.ElementId));
    }

    [Fact]
    public void An_extender_feeds_camera_and_speaker_within_its_input()
    {
        var model = Examples.Valid("examples/injector-and-extender.yaml");

        // 99 m of 23 AWG over four pairs: 3.306 ohm; solved by fixed-point iteration of the two branches and the 2 W of the extender.
        var quiet = Solve(model, "ramp-injector", "quiet");
        Near(43.20, quiet.DrawAtPse!.Value.Watts, 0.01);
        Near(41.08, quiet.Points["ramp-extender"].DrawAtInput.Watts, 0.01);
        var announcement = Solve(model, "ramp-injector", "announcement");
        Near(62.60, announcement.DrawAtPse!.Value.Watts, 0.01);
        Near(50.17, announcement.Points["ramp-extender"].Voltage.Volts, 0.01);
        Near(58.15, announcement.Points["ramp-extender"].DrawAtInput.Watts, 0.01);
    }

    [Fact]
    public void A_port_that_is_too_small_is_refused_with_the_reason()
    {
        var result = Examples.Load("examples/refused/port-too-small.yaml").Result;

        Assert.Null(result.Model);
        var problem = Assert.Single(result.Problems);
        Assert.Equal(("port-limit-too-small", 10, 28, "30"), (problem.Code, problem.At.Line, problem.At.Column, problem.Value));
        Assert.Contains("upgrade", problem.Remedy, StringComparison.Ordinal);
    }

    [Fact]
    public void A_promised_upgrade_turns_the_refusal_into_a_standing_warning()
    {
        var model = Examples.Valid("examples/port-to-be-upgraded.yaml");

        var warning = Assert.Single(model.Warnings);
        Assert.Equal(("port-upgrade-awaited", ProblemKind.Warning, 10), (warning.Code, warning.Kind, warning.At.Line));
        Assert.Contains("90 W is due 2027-03-31", warning.Message, StringComparison.Ordinal);
        Assert.Equal(30, model.CableRuns["yard:1/5"].Source.Limit.Watts);
    }

    [Fact]
    public void A_pass_through_switch_reaches_twice_one_hundred_metres()
    {
        var model = Examples.Valid("examples/pass-through-chain.yaml");
        var run = model.CableRuns["lock:1/2"];
        var flow = Solve(model, run.Id, "design");

        Assert.Equal(["gate", "weir"], run.PoleIds);
        Assert.All(run.Root.SelfAndBelow(), place => Assert.True(place.Incoming.Length.Meters <= 100));
        Assert.Equal(200, run.Root.Incoming.Length.Meters + run.Root.Children[1].Incoming.Length.Meters);
        var gate = run.Root.PassThrough!;
        Assert.True(gate.TotalLimit < gate.OutputLimit * gate.OutputCount);

        // Outputs 13.099 W (30 m, 2.527 ohm, 12.95 W) and 27.719 W (100 m, 8.422 ohm, 25.5 W): (40.818 / 0.92) + 6 = 50.367 W at the input.
        Near(50.367, flow.Points["gate-switch"].DrawAtInput.Watts, 0.005);
        Near(50.68, flow.Points["gate-switch"].Voltage.Volts, 0.01);
        Near(53.665, flow.DrawAtPse!.Value.Watts, 0.005);
    }

    [Fact]
    public void A_cabinet_hangs_on_its_uplink()
    {
        var model = Examples.Valid("examples/cabinet-behind-fibre.yaml");

        Assert.Equal(new Uplink("gatehouse", "fibre", Length.FromMeters(3200)), model.Switches["jetty-cabinet"].Uplink);
        Assert.Equal(TimeSpan.FromMinutes(2), model.Agents["jetty-cabinet"].PollPeriod);
        Assert.Equal(["supply-a", "supply-b"], model.Switches["jetty-cabinet"].Groups[1].Supplies.Select(s => s.Id));

        // A tester's loop of 13.1 ohm is 6.55 ohm over two pairs: 9 W take 0.1702 A and lose 0.190 W.
        Near(9.190, Solve(model, "jetty-cabinet:1/2", "design").DrawAtPse!.Value.Watts, 0.001);
    }

    [Fact]
    public void Access_point_light_call_point_paging_controller_and_recorder_share_one_switch()
    {
        var model = Examples.Valid("examples/mixed-devices.yaml");

        Assert.Equal(5, model.CableRuns.Count);
        Assert.Equal(Criticality.Critical, model.Devices["call-1"].Criticality);
        Assert.Equal(new DailyWindow(new TimeOnly(1, 0), new TimeOnly(5, 0)), Assert.Single(model.Schedules).Off);
        Assert.Equal([1, 2, 12], model.LoadCases.Single(c => c.Id == "frost").Months);

        // 45 m of 23 AWG over four pairs: 1.503 ohm; 42 W take 0.7954 A, 42.95 W at the PSE.
        Near(42.95, Solve(model, "square:1/1", "lights-on").DrawAtPse!.Value.Watts, 0.01);
        Assert.Equal(30, model.Switches["square"].Ports[new PsePortRef("square", 1, 12)].Limit.Watts); // Class 4.
    }

    // By hand, bisected: one conductor is 70 m of 6.679 ohm and 5 m of 8.422 ohm per 100 m at 60 °C and four contacts of 0.1 ohm; the bundle warms the 70 m by
    // 12 · root(12 / 100) · (I / 2)² degrees.
    [Fact]
    public void Warm_bundles_carry_their_own_heat()
    {
        var flow = Solve(Examples.Valid("examples/warm-bundles.yaml"), "breakwater:1/1", "design");

        var (low, high) = (76 / 54.0, 3.0);
        for (var halving = 0; halving < 60; halving++)
        {
            var amperes = (low + high) / 2;
            var degrees = 12 * Math.Sqrt(0.12) * amperes * amperes / 4;
            var ohms = ((4.6753 * (1 + (0.00393 * (40 + degrees)))) + (0.4211 * (1 + (0.00393 * 40))) + 0.4) / 2;
            (low, high) = (54 - (amperes * ohms)) * amperes < 76 ? (amperes, high) : (low, amperes);
        }

        Near(low, flow.Points["head-light"].Current.Amperes, 1e-6);
        Near(54 * low, flow.DrawAtPse!.Value.Watts, 1e-4);
        Assert.Equal(60 + (12 * Math.Sqrt(0.12) * low * low / 4) + 1, flow.Limits.Single(l => l.Kind == LimitKind.CableTemperature).Value, 1e-6);
    }

    [Fact]
    public void Csv_lists_carry_devices_and_cables()
    {
        var model = Examples.Valid("examples/csv-lists/design.yaml");

        Assert.Equal("Camera, path 1", model.Devices["path-1-camera"].Name);
        Assert.Equal("Call point \"Old Oak\"", model.Devices["path-3-call"].Name);
        Assert.Equal(Criticality.Low, model.Devices["path-2-camera"].Criticality);
        var segments = model.CableRuns.Values.Select(run => run.Root.Incoming).Select(s => (s.Length.Meters, s.GaugeAwg));
        Assert.Equal([(42.0, 24), (68.5, 23), (97.0, 23)], segments);
    }

    private static PowerFlowResult Solve(DesignModel model, string runId, string loadCase)
    {
        var run = model.CableRuns[runId];
        var demands = DesignDemands.For(model, model.LoadCases.Single(c => c.Id == loadCase));
        var flow = PowerFlowSolver.Solve(run, demands, OperatingMode.Expected);
        Assert.Equal(FlowOutcome.Solved, flow.Outcome);
        Assert.Empty(flow.Broken);
        return flow;
    }

    private static void Near(double expected, double actual, double tolerance) => Assert.Equal(expected, actual, tolerance);
}
