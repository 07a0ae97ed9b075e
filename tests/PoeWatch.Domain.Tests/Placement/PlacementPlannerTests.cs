using PoeWatch.Domain.Placement;
using PoeWatch.Domain.Poe;
using PoeWatch.Domain.PowerFlow;
using PoeWatch.Domain.Quantities;
using PoeWatch.TestKit.Design;

namespace PoeWatch.Domain.Tests.Placement;

/// <summary>What the planner is told. Watts are those of <c>ExtraWattsFinder</c>, whose numbers are checked beside it.</summary>
public sealed class PlacementPlannerTests
{
    [Fact]
    public void Every_pole_is_listed_with_its_runs_and_free_outputs()
    {
        var poles = PlacementPlanner.Poles(Harbour().Build());

        Assert.Equal(["pole-1", "pole-2", "pole-3", "pole-9"], poles.Select(p => p.PoleId));
        Assert.Equal(
            [("quay-west:1/1", "pts-1", 2), ("quay-west:1/1", "pts-2", 4), ("quay-west:1/2", "cam-3", 0)],
            poles.SelectMany(p => p.CableRuns).Select(r => (r.CableRunId, r.AtElement, r.FreeOutputs)));
        Assert.Null(poles[3].Roomiest);
    }

    [Fact]
    public void Extra_watts_are_those_of_the_worst_load_case_at_the_pole()
    {
        var design = Harbour().Build();
        var run = design.CableRuns["quay-west:1/1"];

        var placement = PlacementPlanner.Poles(design).Single(p => p.PoleId == "pole-1").Roomiest!;

        var night = DesignDemands.For(design, design.LoadCases.Single(c => c.Id == "night"));
        Assert.Equal("night", placement.WorstLoadCaseId);
        Assert.Equal(ExtraWattsFinder.Find(run, night, "pts-1", OperatingMode.Guaranteed), placement.Extra);
    }

    [Fact]
    public void Live_excess_leaves_less()
    {
        var design = Harbour().Build();
        var excess = new Dictionary<string, Power> { ["quay-west:1/1"] = Power.FromWatts(5) };

        var designed = PlacementPlanner.Poles(design)[0].Roomiest!.Extra.Watts;
        var live = PlacementPlanner.Poles(design, excess)[0].Roomiest!.Extra.Watts;

        Assert.True(live < designed - Power.FromWatts(4.9), $"{live} after {designed}");
    }

    [Fact]
    public void Small_device_fits_and_leaves_the_rest()
    {
        var design = Harbour().Build();

        var fit = Assert.Single(PlacementPlanner.Fit(design, "pole-1", design.DeviceTypes["node"]));

        Assert.True(fit.Fits);
        Assert.Empty(fit.Needs);
        Assert.Null(fit.FirstBroken);
        Assert.Equal(PlacementPlanner.Poles(design)[0].Roomiest!.Extra.Watts - Power.FromWatts(3), fit.MarginAfter);
    }

    [Fact]
    public void Large_device_is_refused_with_the_limit_and_the_watts_that_are_missing()
    {
        var design = Harbour().Build();

        var fit = Assert.Single(PlacementPlanner.Fit(design, "pole-1", design.DeviceTypes["ptz"]));

        Assert.False(fit.Fits);
        Assert.True(fit.MarginAfter < Power.Zero);
        Assert.Equal(LimitKind.PassThroughTotal, fit.FirstBroken!.Kind);
        Assert.StartsWith($"In load case night {FormattableString.Invariant($"{-fit.MarginAfter.Watts:0.##}")} W are missing.", fit.Needs, StringComparison.Ordinal);
    }

    [Fact]
    public void Run_of_one_cable_has_no_free_output_and_says_so()
    {
        var design = Harbour().Build();

        var fit = Assert.Single(PlacementPlanner.Fit(design, "pole-3", design.DeviceTypes["node"]));

        Assert.False(fit.Fits);
        Assert.Equal(0, fit.FreeOutputs);
        Assert.Null(fit.FirstBroken);
        Assert.Equal(
            "Run quay-west:1/2 is one cable to device cam-3 and has no free output: it needs an extender or a pass-through switch at that end, "
                + "or a run of its own.",
            fit.Needs);
    }

    [Fact]
    public void Extender_whose_outputs_are_all_in_use_says_so()
    {
        var design = OnExtender(outputWatts: 30).Device("cam-b", "node", "pole-1").Cable("ext:2", "cam-b", 5).Build();

        var fit = Assert.Single(PlacementPlanner.Fit(design, "pole-1", design.DeviceTypes["node"]));

        Assert.False(fit.Fits);
        Assert.Equal("All 2 outputs of ext are in use: it needs a free output there, or a run of its own.", fit.Needs);
    }

    // Class table of IEEE 802.3: a 30 W output grants class 4, 25.5 W at the PD (TI TPS2379 Table 2).
    [Fact]
    public void Device_that_needs_more_than_the_class_of_an_output_is_refused()
    {
        var design = OnExtender(outputWatts: 30).DeviceType("lamp", 28, PoeClass.Class6).Build();

        var fit = Assert.Single(PlacementPlanner.Fit(design, "pole-1", design.DeviceTypes["lamp"]));

        Assert.False(fit.Fits);
        Assert.True(fit.MarginAfter > Power.Zero);
        Assert.Equal(LimitKind.GrantableClass, fit.FirstBroken!.Kind);
        Assert.Equal("An output of ext (30 W) grants class 4, that is 25.5 W at the device; type lamp needs 28 W.", fit.Needs);
    }

    [Fact]
    public void Device_that_needs_just_what_the_class_of_an_output_gives_fits()
    {
        var design = OnExtender(outputWatts: 30).DeviceType("ptz", 25.5).Build();

        Assert.True(Assert.Single(PlacementPlanner.Fit(design, "pole-1", design.DeviceTypes["ptz"])).Fits);
    }

    [Fact]
    public void Nothing_fits_on_a_run_whose_limit_is_broken_for_good()
    {
        var design = new DesignModelBuilder()
            .Injector("inj", ratingWatts: 10).Extender("ext", "pole-1", ownDrawWatts: 12).DeviceType("idle", 0)
            .Cable("inj", "ext", 20)
            .Build();

        var fit = Assert.Single(PlacementPlanner.Fit(design, "pole-1", design.DeviceTypes["idle"]));

        Assert.False(fit.Fits);
        Assert.Equal(LimitKind.InjectorRating, fit.FirstBroken!.Kind);
    }

    // TI TPS2379 Table 2: a class 4 PD works from 42.5 V, a Type 4 PD (injector maker's table) from 41.1 V.
    [Fact]
    public void Device_that_would_get_too_few_volts_is_refused()
    {
        // 26 V + sqrt(26² - 6.25 x (2 + 40 + 25.5)) V = 41.94 V at the extender in guaranteed mode.
        var design = new DesignModelBuilder()
            .Injector("inj", ratingWatts: 95)
            .Extender("ext", "pole-1", inputLimitWatts: 95, ownDrawWatts: 2, outputLimitWatts: 60)
            .DeviceType("lamp", 40, PoeClass.Class8).DeviceType("ptz", 25.5, PoeClass.Class4).DeviceType("heater", 25.5, PoeClass.Class8)
            .Device("lamp-1", "lamp", "pole-1")
            .Cable("inj", "ext", 100).Cable("ext:1", "lamp-1", 0)
            .Build();

        var refused = Assert.Single(PlacementPlanner.Fit(design, "pole-1", design.DeviceTypes["ptz"], mode: OperatingMode.Guaranteed));
        var lower = Assert.Single(PlacementPlanner.Fit(design, "pole-1", design.DeviceTypes["heater"], mode: OperatingMode.Guaranteed));
        var taken = Assert.Single(PlacementPlanner.Fit(design, "pole-1", design.DeviceTypes["ptz"], mode: OperatingMode.Expected));

        Assert.True(taken.Fits);
        Assert.True(lower.Fits);
        Assert.Equal(LimitKind.PdVoltage, refused.FirstBroken?.Kind);
        Assert.StartsWith("A device of type ptz (class 4) would get 41.941 V at ext, but needs at least 42.5 V.", refused.Needs, StringComparison.Ordinal);
        Assert.False(refused.Fits);
    }

    [Fact]
    public void Pole_of_another_site_is_refused()
    {
        var design = Harbour().Build();

        Assert.Throws<ArgumentException>(() => PlacementPlanner.Fit(design, "pole-77", design.DeviceTypes["node"]));
        Assert.Empty(PlacementPlanner.Fit(design, "pole-9", design.DeviceTypes["node"]));
    }

    [Fact]
    public void Device_on_another_pole_than_its_extender_is_joined_at_the_extender()
    {
        var design = new DesignModelBuilder()
            .Injector("inj").Extender("ext", "pole-1").DeviceType("fixed", 8, PoeClass.Class3).Device("cam", "fixed", "pole-2")
            .Cable("inj", "ext", 50).Cable("ext:1", "cam", 40)
            .Build();

        Assert.Equal(("ext", 1), PlacementPlanner.Poles(design).Select(p => (p.Roomiest!.AtElement, p.Roomiest.FreeOutputs)).Last());
    }

    private static DesignModelBuilder OnExtender(double outputWatts) => new DesignModelBuilder()
        .Injector("inj", ratingWatts: 95)
        .Extender("ext", "pole-1", outputLimitWatts: outputWatts)
        .DeviceType("node", 3, PoeClass.Class2)
        .Device("cam-a", "node", "pole-1")
        .Cable("inj", "ext", 20).Cable("ext:1", "cam-a", 5);

    /// <summary>Two poles on one run of pass-through switches, one pole with a single camera, one without a run.</summary>
    private static DesignModelBuilder Harbour() => new DesignModelBuilder()
        .Switch("quay-west")
        .Port("quay-west:1/1", 90, PoeType.Type4, PoeClass.Class8)
        .Port("quay-west:1/2")
        .PassThrough("pts-1", "pole-1", totalLimitWatts: 40).PassThrough("pts-2", "pole-2", inputLimitWatts: 25)
        .DeviceType("fixed", 8, PoeClass.Class3, ("night", 10)).DeviceType("node", 3, PoeClass.Class2).DeviceType("ptz", 25.5)
        .Device("cam-1", "fixed", "pole-1").Device("cam-3", "fixed", "pole-3")
        .Pole("pole-9")
        .Cable("quay-west:1/1", "pts-1", 90).Cable("pts-1:1", "pts-2", 90).Cable("pts-1:2", "cam-1", 10).Cable("quay-west:1/2", "cam-3", 60)
        .LoadCase("day").LoadCase("night");
}
