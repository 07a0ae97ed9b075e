using PoeWatch.Domain.Design;
using PoeWatch.Domain.Poe;
using PoeWatch.Domain.PowerFlow;
using PoeWatch.Domain.Quantities;
using PoeWatch.TestKit.Design;

namespace PoeWatch.Domain.Tests.PowerFlow;

/// <summary>What the design asks for, load case by load case, and which case leaves least.</summary>
public sealed class WorstLoadCaseTests
{
    [Fact]
    public void Demand_is_that_of_the_load_case_or_else_of_the_type()
    {
        var design = Harbour().Build();

        var night = DesignDemands.For(design, design.LoadCases.Single(c => c.Id == "night"));

        Assert.Equal([("cam", 24.0), ("horn", 4.0)], night.OrderBy(d => d.Key).Select(d => (d.Key, d.Value.Watts)));
    }

    [Fact]
    public void Design_without_load_cases_has_one_that_can_always_come()
    {
        var design = new DesignModelBuilder().DeviceType("fixed", 8).Build();

        var only = Assert.Single(DesignDemands.CasesOf(design));

        Assert.Equal(("design", (DailyWindow?)null, 0), (only.Id, only.Window, only.Months.Count));
    }

    [Fact]
    public void Worst_case_of_a_run_is_found_by_solving_not_by_summing()
    {
        // Paging asks for 3 W more in all than night, but night takes them over 100 m of thin cable where they cost most.
        var design = new DesignModelBuilder()
            .Switch("quay-west").Port("quay-west:1/1", 60, PoeType.Type3, PoeClass.Class6)
            .Extender("ext", ownDrawWatts: 0, outputLimitWatts: 60)
            .DeviceType("camera", 1, PoeClass.Class4, ("night", 25), ("paging", 1))
            .DeviceType("horn", 1, PoeClass.Class4, ("night", 1), ("paging", 28))
            .Device("cam", "camera").Device("horn", "horn")
            .Cable("quay-west:1/1", "ext", 1).Cable("ext:1", "cam", 100, 26, 2).Cable("ext:2", "horn", 1)
            .LoadCase("paging").LoadCase("night")
            .Build();
        var run = design.CableRuns.Values.Single();

        var worst = WorstLoadCase.For(design, run, design.LoadCases, OperatingMode.Expected);

        Assert.Equal("night", worst.Case.Id);
        Assert.True(DesignDemands.For(design, design.LoadCases[0]).Values.Sum(w => w.Watts) > worst.Demand.Values.Sum(w => w.Watts));
        Assert.Equal(PowerFlowSolver.Solve(run, worst.Demand, OperatingMode.Expected).DrawAtPse, worst.Flow.DrawAtPse);
        Assert.Equal(ExtraWattsFinder.Find(run, worst.Demand, "ext", OperatingMode.Expected).Watts, worst.Extra.Watts);
    }

    // A free output of 5 W is what binds in both.
    [Fact]
    public void Of_cases_that_leave_the_same_the_one_that_draws_more_is_told()
    {
        var design = new DesignModelBuilder()
            .Switch("quay-west").Port("quay-west:1/1", 60, PoeType.Type3, PoeClass.Class6)
            .Extender("ext", ownDrawWatts: 0, outputLimitWatts: 5)
            .DeviceType("camera", 1, PoeClass.Class4, ("day", 2), ("night", 4))
            .Device("cam", "camera")
            .Cable("quay-west:1/1", "ext", 1).Cable("ext:1", "cam", 1)
            .LoadCase("day").LoadCase("night")
            .Build();
        var run = design.CableRuns.Values.Single();
        var each = design.LoadCases.Select(c => WorstLoadCase.For(design, run, [c], OperatingMode.Expected)).ToArray();

        Assert.Equal(each[0].Extra.Watts, each[1].Extra.Watts);
        Assert.Equal("night", WorstLoadCase.For(design, run, design.LoadCases, OperatingMode.Expected).Case.Id);
    }

    [Fact]
    public void Cases_that_cannot_come_do_not_count()
    {
        var design = Harbour().Build();

        var worst = WorstLoadCase.For(
            design, design.CableRuns.Values.Single(), design.LoadCases.Where(c => c.Id == "day"), OperatingMode.Expected);

        Assert.Equal("day", worst.Case.Id);
    }

    [Fact]
    public void No_cases_given_means_all_of_the_design()
    {
        var design = Harbour().Build();

        Assert.Equal("night", WorstLoadCase.For(design, design.CableRuns.Values.Single(), [], OperatingMode.Expected).Case.Id);
    }

    [Fact]
    public void Live_excess_weighs_on_the_far_end()
    {
        var design = Harbour().Build();
        var run = design.CableRuns.Values.Single();

        var designed = WorstLoadCase.For(design, run, [], OperatingMode.Expected, "ext", Power.Zero);
        var live = WorstLoadCase.For(design, run, [], OperatingMode.Expected, "ext", Power.FromWatts(3));

        Assert.Equal(designed.Extra.Watts.Watts - 3, live.Extra.Watts.Watts, 1e-4);
        Assert.Equal(3.0, live.Demand["ext"].Watts);
    }

    private static DesignModelBuilder Harbour() => new DesignModelBuilder()
        .Switch("quay-west").Port("quay-west:1/1", 60, PoeType.Type3, PoeClass.Class6)
        .Extender("ext", "pole-1", outputLimitWatts: 60)
        .DeviceType("camera", 8, PoeClass.Class4, ("night", 24))
        .DeviceType("speaker", 4, PoeClass.Class3)
        .Device("cam", "camera", "pole-1").Device("horn", "speaker", "pole-1")
        .Cable("quay-west:1/1", "ext", 80).Cable("ext:1", "cam", 10).Cable("ext:2", "horn", 10)
        .LoadCase("day").LoadCase("night");
}
