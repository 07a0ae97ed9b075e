using PoeWatch.Acceptance.Tests.Agents;
using PoeWatch.Acceptance.Tests.Support;

namespace PoeWatch.Acceptance.Tests.OutsideAgents;

/// <summary>Net-SNMP's agent is started again under the running service: it counts snmpEngineBoots itself, and hrSystemUptime is the machine's.</summary>
public sealed class RestartTests
{
    [Fact]
    public async Task An_agent_that_starts_again_while_its_switch_runs_on_is_told_apart_from_a_loss_of_power()
    {
        using var folder = new WorkFolder();
        await using var agent = await SnmpdAgent.StartAsync(SnmpdDoors.Values, 1);
        var design = folder.Write("design.yaml", $$"""
            format: poewatch-design/1
            site: {name: Skerry Haven}
            switches:
              - {id: quay, address: "127.0.0.1:{{agent.Ports[0]}}", credentials: quay, poll-period: 1s, groups: [{group: 1, port-count: 8, budget-w: 240}]}
            """);
        var settings = folder.Write("settings.json", $$"""{ "credentials": { "quay": { "community": "{{SnmpdAgent.Community}}" } } }""");
        await using var service = await Service.ServingAsync(["serve", "--design", design, "--settings", settings, "--data", folder.At("data"), "--port", "0"]);
        await service.SeeAsync("'quay' answers", "/api/v1/switches/quay", s => s.GetProperty("switch").GetProperty("agent").GetProperty("outcome").GetString() == "answered");

        await agent.RestartAsync();

        await Eventually.HoldsAsync(
            "the restart told",
            () => Task.FromResult(service.Output.Contains("quay: The agent started again", StringComparison.Ordinal)),
            () => service.Output);
        Assert.Contains("while the switch ran on: its ports kept their power.", service.Output, StringComparison.Ordinal);
        Assert.DoesNotContain("Another switch answers", service.Output, StringComparison.Ordinal);
    }
}
