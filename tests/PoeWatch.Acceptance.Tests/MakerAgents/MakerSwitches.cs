using PoeWatch.Acceptance.Tests.Agents;
using PoeWatch.Acceptance.Tests.Support;

namespace PoeWatch.Acceptance.Tests.MakerAgents;

/// <summary>The service polling all recordings at once. The design names no draw column: what it reads it found by itself.</summary>
public sealed class MakerSwitches : IAsyncLifetime
{
    private readonly WorkFolder _folder = new();

    internal SnmpsimAgent Agent { get; private set; } = null!;

    internal Service Service { get; private set; } = null!;

    internal string Settings { get; private set; } = string.Empty;

    public async ValueTask InitializeAsync()
    {
        Agent = await SnmpsimAgent.StartAsync(MakerRecordings.All);
        var switches = MakerRecordings.All.Keys.Select(id => $$"""
              - id: {{id}}
                address: 127.0.0.1:{{Agent.PortOf(id)}}
                credentials: {{id}}
                poll-period: 4s
                groups: [{{string.Join(", ", Groups(id).Select(g => $$"""{group: {{g}}, port-count: 24, budget-w: 370}"""))}}]
                ports: [{{(id == "neighbour" ? "{port: 1/1, vlan: 30}" : "")}}]
            """);
        var design = _folder.Write("design.yaml", $"format: poewatch-design/1\nsite: {{name: Skerry Haven}}\nswitches:\n{string.Join('\n', switches)}\n");
        Settings = _folder.Write(
            "settings.json",
            $$"""{ "polling": { "timeout": "00:00:05" }, "credentials": { {{string.Join(", ", MakerRecordings.All.Keys.Select(id => $$"""  "{{id}}": { "community": "{{id}}" }"""))}} } }""");
        Service = await Service.ServingAsync(["serve", "--design", design, "--settings", Settings, "--data", _folder.At("data"), "--port", "0"]);
    }

    private static int[] Groups(string id) => id switch { "pointer-stack" => [1, 3], "slots-4-and-7" => [4, 7], _ => [1] };

    public async ValueTask DisposeAsync()
    {
        await (Service?.DisposeAsync() ?? ValueTask.CompletedTask);
        await (Agent?.DisposeAsync() ?? ValueTask.CompletedTask);
        _folder.Dispose();
    }
}
