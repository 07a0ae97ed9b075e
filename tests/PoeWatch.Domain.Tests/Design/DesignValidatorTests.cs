using PoeWatch.Domain.Design;
using PoeWatch.Domain.Design.Config;

namespace PoeWatch.Domain.Tests.Design;

/// <summary>The check as a pure function of what was written, whatever notation it was written in.</summary>
public sealed class DesignValidatorTests
{
    private static readonly WrittenAt s_at = new("site", 1, 1);

    [Fact]
    public void A_design_built_without_any_file_becomes_a_model_under_its_hash()
    {
        var result = DesignValidator.Validate(Small(), "abc");

        Assert.Empty(result.Problems);
        Assert.Equal("abc", result.Model!.Hash);
        Assert.Equal("quay:1/7", Assert.Single(result.Model.CableRuns.Keys));
    }

    [Fact]
    public void Problems_found_while_reading_refuse_the_design_and_stand_in_order_with_the_others()
    {
        var read = new DesignProblem(ProblemKind.Error, "unknown-key", new WrittenAt("site", 3, 1), "", "x", "m", "r");

        var result = DesignValidator.Validate(Small() with { Format = null }, "abc", read);

        Assert.Null(result.Model);
        Assert.Equal(["missing", "unknown-key"], result.Problems.Select(p => p.Code));
    }

    [Fact]
    public void The_same_design_gives_the_same_answer_twice()
    {
        var broken = Small() with { Cables = [], Poles = [new PoleConfig(s_at)] };

        Assert.Equal(DesignValidator.Validate(broken, "h").Problems, DesignValidator.Validate(broken, "h").Problems);
    }

    [Fact]
    public void Nothing_at_all_is_refused_without_an_exception()
    {
        var result = DesignValidator.Validate(new DesignConfig(s_at), "h");

        Assert.Null(result.Model);
        Assert.Equal(["missing", "nothing-to-poll"], result.Problems.Select(p => p.Code).Order(StringComparer.Ordinal));
    }

    [Fact]
    public void Elements_without_any_value_are_refused_without_an_exception()
    {
        var agent = new AgentConfig(s_at);
        var empty = new DesignConfig(s_at)
        {
            Site = new SiteConfig(s_at) { Coordinates = new CoordinatesConfig(s_at) },
            Headroom = new HeadroomConfig(s_at) { AtRun = new HeadroomLevelsConfig(s_at) },
            Switches =
            [
                new SwitchConfig(s_at)
                {
                    Agent = agent with { DrawColumn = new DrawColumnConfig(s_at) },
                    Uplink = new UplinkConfig(s_at),
                    Groups = [new PseGroupConfig(s_at) { Supplies = [new SupplyConfig(s_at)] }],
                    Ports = [new PsePortConfig(s_at) { Upgrade = new UpgradeConfig(s_at) }],
                },
            ],
            Injectors = [new InjectorConfig(s_at) { Agent = agent }],
            Extenders = [new ExtenderConfig(s_at)],
            PassThroughSwitches = [new PassThroughSwitchConfig(s_at) { Agent = agent }],
            Cables = [new CableConfig(s_at)],
            Poles = [new PoleConfig(s_at)],
            DeviceTypes = [new DeviceTypeConfig(s_at)],
            Devices = [new DeviceConfig(s_at)],
            LoadCases = [new LoadCaseConfig(s_at)],
            PortSchedules = [new PortScheduleConfig(s_at)],
        };

        var result = DesignValidator.Validate(empty, "h");

        Assert.Null(result.Model);
        Assert.All(result.Problems, p => Assert.Equal("missing", p.Code));
        foreach (var key in new[] { "address", "oid", "budget-w", "rating-w", "port", "limit-w", "outputs", "from", "to", "length-m", "class", "demand-w", "type", "off" })
        {
            Assert.Contains(result.Problems, p => p.Message.Contains($"'{key}'", StringComparison.Ordinal));
        }
    }

    private static DesignConfig Small() => new(s_at)
    {
        Format = Text("poewatch-design/1"),
        Switches =
        [
            new SwitchConfig(s_at)
            {
                Id = Text("quay"),
                Agent = new AgentConfig(s_at) { Address = Text("192.0.2.10") },
                Groups = [new PseGroupConfig(s_at) { BudgetWatts = Text("370") }],
            },
        ],
        DeviceTypes = [new DeviceTypeConfig(s_at) { Id = Text("camera"), Class = Text("3"), DemandWatts = Text("9") }],
        Devices = [new DeviceConfig(s_at) { Id = Text("cam-1"), Type = Text("camera") }],
        Cables = [new CableConfig(s_at) { From = Text("quay:7"), To = Text("cam-1"), LengthMeters = Text("60") }],
    };

    private static Written<string> Text(string text) => new(text, s_at);
}
