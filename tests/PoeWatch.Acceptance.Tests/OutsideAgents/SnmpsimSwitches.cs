using PoeWatch.Acceptance.Tests.Agents;
using PoeWatch.Acceptance.Tests.Support;

namespace PoeWatch.Acceptance.Tests.OutsideAgents;

/// <summary>
/// The service polling switches that snmpsim plays, each with another way to tell watts. The recordings are written here from the
/// texts of the MIBs; none was taken from a device.
/// </summary>
public sealed class SnmpsimSwitches : IAsyncLifetime
{
    private readonly WorkFolder _folder = new();

    internal SnmpsimAgent Agent { get; private set; } = null!;

    internal Service Service { get; private set; } = null!;

    /// <summary>
    /// A stack of boxes 1 and 3 (RFC 3621: the group is the box in the stack; box 2 was taken out). Port numbers have gaps. Draw in 0.1 W by
    /// ifIndex, which only the names tie to the ports. Uplinks and a VLAN, without PoE, repeat numbers of ports.
    /// </summary>
    internal static Recording Stack => new Recording()
        .Port(1, 1, state: 3, classification: 5).Interface(10101, "Gi1/0/1").Draw(Recording.MakerDraw, "10101", 127)
        .Port(1, 2, state: 2, classification: 1).Interface(10102, "Gi1/0/2").Draw(Recording.MakerDraw, "10102", 0)
        .Port(1, 5, state: 3, classification: 4).Interface(10105, "Gi1/0/5").Draw(Recording.MakerDraw, "10105", 64)
        .Port(3, 2, state: 3, classification: 5).Interface(10302, "Gi3/0/2").Draw(Recording.MakerDraw, "10302", 255)
        .Port(3, 7, state: 4, classification: 1).Interface(10307, "Gi3/0/7").Draw(Recording.MakerDraw, "10307", 0)
        .Port(3, 11, state: 3, classification: 3).Interface(10311, "Gi3/0/11")
        .Interface(1, "Vlan1").Interface(10201, "Te1/1/1").Interface(10202, "Te1/1/2").Draw(Recording.MakerDraw, "10201", 999)
        .Group(1, powerW: 740, drawW: 19).Group(3, powerW: 370, drawW: 26);

    /// <summary>Every state and every class that RFC 3621 has, and nothing that measures.</summary>
    internal static Recording Plain => new Recording()
        .Port(1, 1, state: 3, classification: 1).Port(1, 2, state: 3, classification: 2).Port(1, 3, state: 3, classification: 3)
        .Port(1, 4, state: 3, classification: 4).Port(1, 5, state: 3, classification: 5).Port(1, 6, state: 3, classification: 5)
        .Port(1, 11, state: 1, classification: 1).Port(1, 12, state: 2, classification: 1).Port(1, 14, state: 4, classification: 1)
        .Port(1, 15, state: 5, classification: 1).Port(1, 16, state: 6, classification: 1)
        .Group(1, powerW: 370, drawW: 57);

    /// <summary>Watts as text, by port number alone.</summary>
    internal static Recording Texts(string watts) => new Recording()
        .Port(1, 3, state: 3, classification: 4).Draw(Recording.MakerDraw, "3", watts)
        .Port(1, 4, state: 3, classification: 4).Draw(Recording.MakerDraw, "4", "0.0")
        .Port(1, 9, state: 3, classification: 2).Draw(Recording.MakerDraw, "9", "n/a");

    /// <summary>The three columns that IEEE Std 802.3.1 has beyond RFC 3621: here the one with milliwatts.</summary>
    internal static Recording Milliwatts => new Recording()
        .Port(1, 1, state: 3, classification: 5).Draw(Recording.IeeeDraw, "1.1", 25_437)
        .Port(1, 2, state: 3, classification: 2).Draw(Recording.IeeeDraw, "1.2", 3_001)
        .Port(1, 8, state: 2, classification: 1).Draw(Recording.IeeeDraw, "1.8", 0)
        .Group(1, powerW: 123, drawW: 28);

    public async ValueTask InitializeAsync()
    {
        Agent = await SnmpsimAgent.StartAsync(new Dictionary<string, Recording>
        {
            ["stack"] = Stack, ["plain"] = Plain, ["texts"] = Texts("12.4"), ["milliwatts"] = Milliwatts, ["locked"] = Plain,
        });
        var design = _folder.Write("design.yaml", $$"""
            format: poewatch-design/1
            site: {name: Skerry Haven}
            switches:
              - id: stack
                address: 127.0.0.1:{{Agent.PortOf("stack")}}
                credentials: stack
                poll-period: 2s
                draw-column: {oid: {{Recording.MakerDraw}}, unit: deciwatt, index: if-index}
                groups: [{group: 1, port-count: 24, budget-w: 740}, {group: 3, port-count: 24, budget-w: 370}]
              - id: plain
                address: 127.0.0.1:{{Agent.PortOf("plain")}}
                credentials: plain
                poll-period: 2s
                groups: [{group: 1, port-count: 16, budget-w: 370}]
                ports: [{port: 1/6, type: 2}]
              - id: texts
                address: 127.0.0.1:{{Agent.PortOf("texts")}}
                credentials: texts
                poll-period: 2s
                draw-column: {oid: {{Recording.MakerDraw}}, unit: watt, index: port}
                groups: [{group: 1, port-count: 10, budget-w: 123}]
              - id: milliwatts
                address: 127.0.0.1:{{Agent.PortOf("milliwatts")}}
                credentials: milliwatts
                poll-period: 2s
                draw-column: {oid: {{Recording.IeeeDraw}}, unit: milliwatt, index: group-and-port}
                groups: [{group: 1, port-count: 8, budget-w: 123}]
              - id: locked
                address: 127.0.0.1:{{Agent.PortOf("locked")}}
                credentials: mistyped
                poll-period: 2s
                groups: [{group: 1, port-count: 8, budget-w: 123}]
            """);
        var settings = _folder.Write("settings.json", """
            {
              "credentials": {
                "stack": { "community": "stack" },
                "plain": { "community": "plain" },
                "texts": { "community": "texts" },
                "milliwatts": { "community": "milliwatts" },
                "mistyped": { "community": "lokced" }
              }
            }
            """);
        Service = await Service.ServingAsync(["serve", "--design", design, "--settings", settings, "--data", _folder.At("data"), "--port", "0"]);
    }

    public async ValueTask DisposeAsync()
    {
        await (Service?.DisposeAsync() ?? ValueTask.CompletedTask);
        await (Agent?.DisposeAsync() ?? ValueTask.CompletedTask);
        _folder.Dispose();
    }
}
