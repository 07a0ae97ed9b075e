using PoeWatch.Domain.PowerFlow;

namespace PoeWatch.DesignFiles.Tests;

/// <summary>The harbour of the demo is valid and has what the demo is to show.</summary>
public sealed class DemoHarbourTests
{
    private const string Harbour = "demo/skerry-haven.yaml";

    [Fact]
    public void Is_valid_without_a_warning() => Assert.Empty(Examples.Valid(Harbour).Warnings.Select(w => w.ToString()));

    [Fact]
    public void Has_three_switches_fourteen_poles_and_thirty_devices()
    {
        var model = Examples.Valid(Harbour);

        Assert.Equal((3, 14, 30), (model.Switches.Count, model.Poles.Count, model.Devices.Count));
        Assert.Equal(model.Poles.Count, model.CableRunsByPole.Count);
        Assert.All(model.Poles.Values, pole => Assert.NotNull(pole.Coordinates));
        Assert.Equal([16101, 16102, 16103, 16104], model.Agents.Values.Select(a => a.UdpPort).Order());
        Assert.Equal(["inj-pier"], model.CableRuns.Values.Where(run => run.IsUnmetered).Select(run => run.Id));
    }

    [Fact]
    public void Ports_of_switches_are_as_critical_as_what_hangs_behind_them()
    {
        var model = Examples.Valid(Harbour);

        foreach (var run in model.CableRuns.Values.Where(run => run.Source is { InjectorId: null, Port: not null }))
        {
            var port = model.Switches[run.Source.Port!.Value.PseId].Ports[run.Source.Port.Value];
            Assert.All(run.Devices, device => Assert.True(port.Criticality <= device.Criticality, $"{port.Ref} is {port.Criticality}, {device.Id} {device.Criticality}"));
        }
    }

    [Fact]
    public void Two_runs_are_slim_by_design_and_all_others_ample()
    {
        var model = Examples.Valid(Harbour);

        var slim = model.CableRuns.Values.Where(run =>
            WorstLoadCase.For(model, run, model.LoadCases, OperatingMode.Expected).Extra.Watts < model.Headroom.AtRun.Early.For(run.Source.Limit));

        Assert.Equal(["quay-east:1/5", "quay-east:1/7"], slim.Select(run => run.Id));
    }
}
