using PoeWatch.Domain.Design;
using PoeWatch.Domain.Readings;

namespace PoeWatch.DesignFiles.Tests;

/// <summary>The ten-line design of the README, and the defaults that make ten lines enough.</summary>
public sealed class FirstDesignTests
{
    [Fact]
    public void Has_ten_lines() =>
        Assert.Equal(10, File.ReadAllLines(Path.Combine(Examples.ConfigFolder, "examples/first.yaml")).Length);

    [Fact]
    public void Ten_lines_make_a_whole_model()
    {
        var model = Examples.Valid("examples/first.yaml");

        var run = Assert.Single(model.CableRuns.Values);
        Assert.Equal("quay:1/7", run.Id);
        Assert.Equal(["pole-1"], run.PoleIds);
        Assert.False(run.IsUnmetered);
        Assert.Equal(FlowNodeKind.Device, run.Root.Kind);
        Assert.Same(run, model.CableRunByPort[new PsePortRef("quay", 1, 7)]);
        Assert.Same(run, Assert.Single(model.CableRunsByPole["pole-1"]));
        Assert.Equal(64, model.Hash.Length);
    }

    [Fact]
    public void What_is_not_written_has_its_documented_default()
    {
        var model = Examples.Valid("examples/first.yaml");

        var agent = model.Agents["quay"];
        Assert.Equal(("192.0.2.10", 161, "default", TimeSpan.FromSeconds(60)), (agent.Address, agent.UdpPort, agent.Credentials, agent.PollPeriod));
        var port = model.Switches["quay"].Ports[new PsePortRef("quay", 1, 7)];
        Assert.Equal(30, port.Limit.Watts);
        var segment = model.CableRuns["quay:1/7"].Root.Incoming;
        Assert.Equal(("cable-cam-1", 24, 2, 60.0), (segment.Id, segment.GaugeAwg, segment.Pairs, segment.Conductor.Celsius));
        Assert.Equal("design", Assert.Single(model.LoadCases).Id);
        Assert.Equal(0.2, model.Headroom.AtRun.Early.Percent.Fraction);
    }
}
