using PoeWatch.Domain.Design;
using PoeWatch.Domain.PowerFlow;

namespace PoeWatch.DesignFiles.Tests;

/// <summary>Keys of load cases by condition and of types by condition: what they come to, and what is refused with its place and remedy.</summary>
public sealed class DemandKeyTests
{
    private const string Whole = """
        format: poewatch-design/1
        load-cases:
          - {id: frost, conditions: [dark, cold], ambient-c: 2, coincidence: {dark: 0.8}}
        standard-load-cases: [all]
        device-types:
          - {id: ptz, class: 6, idle-w: 12, typical-w: 20, peak-w: 45, adds-w: {dark: 8, cold: 16, wet: 4}, heater-starts-c: 5, boot-peak-w: 24, boot-s: 45, source: made up}
          - {id: horn, class: 4, typical-w: 3, takes-w: {paging: 22}}
        devices:
          - {id: cam, type: ptz}
          - {id: horn-1, type: horn, paging-group: north}
        switches:
          - {id: quay, address: 192.0.2.10, groups: [{budget-w: 100, starts-at-once: 1, start-interval-s: 2}], ports: [{port: 1, limit-w: 60}]}
        cables:
          - {from: quay:1, to: cam, length-m: 10}
          - {from: quay:2, to: horn-1, length-m: 10}
        """;

    [Fact]
    public void Are_read_as_written()
    {
        var result = Designs.Load(Whole).Result;
        Assert.True(result.Problems.IsEmpty, DesignProblemText.Format("site.yaml", result));
        var model = result.Model!;

        var frost = model.LoadCases.Single(c => c.Id == "frost");
        Assert.Equal([LoadCondition.Dark, LoadCondition.Cold], frost.Conditions);
        Assert.Equal((2.0, 0.8), (frost.Ambient!.Value.Celsius, frost.Coincidence[LoadCondition.Dark].Fraction));
        var physical = model.DeviceTypes["ptz"].Physical!;
        Assert.Equal((12.0, 20.0, 45.0), (physical.Idle.Watts, physical.Typical.Watts, physical.Peak.Watts));
        Assert.Equal((5.0, TimeSpan.FromSeconds(45), 24.0), (physical.HeaterStartsAt!.Value.Celsius, physical.BootLasts, physical.Takes[LoadCondition.ColdStart].Watts));
        Assert.Equal(25.5, model.DeviceTypes["horn"].Physical!.Peak.Watts); // class 4: 25.5 W at the PD, TPS2379 Table 2
        Assert.Equal("made up", model.DeviceTypes["ptz"].Source);
        Assert.Equal("site.yaml", model.DeviceTypes["ptz"].WrittenIn);
        Assert.Equal("north", model.Devices["horn-1"].PagingGroup);
        Assert.Equal((1, TimeSpan.FromSeconds(2)), (model.Switches["quay"].Groups[1].StartsAtOnce, model.Switches["quay"].Groups[1].StartInterval));
        Assert.Equal(44, DesignDemands.For(model, frost)["cam"].Watts);
    }

    [Fact]
    public void Own_load_case_stands_above_the_standard_one_of_its_name()
    {
        var model = Designs.Load(Whole.Replace("id: frost,", "id: night,", StringComparison.Ordinal)).Result.Model!;

        Assert.NotNull(model.LoadCases.Single(c => c.Id == "night").Ambient);
    }

    [Theory]
    [InlineData("coincidence: {dark: 0.8}", "coincidence: {cold: 0.9}", "coincidence-too-low")]
    [InlineData("conditions: [dark, cold], ambient-c: 2, coincidence: {dark: 0.8}", "conditions: [paging-all], coincidence: {paging-all: 0.99}", "coincidence-too-low")]
    [InlineData("coincidence: {dark: 0.8}", "coincidence: {wet: 0.5}", "coincidence-without-condition")]
    [InlineData("idle-w: 12", "idle-w: 21", "figures-contradict")]
    [InlineData("peak-w: 45", "peak-w: 23", "figures-contradict")]
    [InlineData("cold: 16, ", "", "figures-contradict")]
    [InlineData("peak-w: 45", "peak-w: 51.1", "demand-above-class")] // class 6: 51 W at the PD, Ethernet Alliance overview of 802.3bt
    [InlineData("takes-w: {paging: 22}", "takes-w: {paging: 25.6}", "demand-above-class")]
    [InlineData("typical-w: 3,", "typical-w: 3, demand-w: 9,", "demand-said-twice")]
    [InlineData("[all]", "[nigth]", "unknown-load-case")]
    [InlineData("[all]", "[day]", "condition-in-no-case")]
    [InlineData("budget-w: 100, starts-at-once: 1, start-interval-s: 2", "budget-w: 70", "cold-start-inrush")]
    public void Contradictions_are_told_at_their_place(string find, string replacement, string code)
    {
        var problems = Designs.Check(Whole.Replace(find, replacement, StringComparison.Ordinal));

        Assert.Contains(problems, p => p.Code == code && p.At.Line > 1 && p.Remedy.Length > 0);
    }

    [Fact]
    public void Full_coincidence_of_heaters_is_taken() =>
        Assert.NotNull(Designs.Load(Whole.Replace("{dark: 0.8}", "{cold: 1}", StringComparison.Ordinal)).Result.Model);

    [Fact]
    public void Cold_start_beyond_the_budget_refuses_the_design()
    {
        // 24 + 8 + 16 W boot (45 W peak) and 3 W: 48 W and losses, where 48 W may be drawn. By night with frost 44 + 3 W, losses in, just pass.
        var text = Whole.Replace("standard-load-cases: [all]", "standard-load-cases: [cold-start, wet-night]", StringComparison.Ordinal)
            .Replace("budget-w: 100", "budget-w: 48", StringComparison.Ordinal);

        Assert.Contains(Designs.Check(text), p => p.Code == "group-budget-exceeded" && p.Message.Contains("'cold-start'", StringComparison.Ordinal));
    }
}
