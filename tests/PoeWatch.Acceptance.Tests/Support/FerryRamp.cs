using PoeWatch.Acceptance.Tests.Agents;

namespace PoeWatch.Acceptance.Tests.Support;

/// <summary>
/// The smallest harbour that can get into trouble: one switch, one pole with a camera on port 1. The camera may need 30 W at its input
/// behind 90 m of cable; the port gives 60 W.
/// </summary>
internal static class FerryRamp
{
    public const string Port = "quay:1/1";

    /// <summary>Settings that open the agent.</summary>
    public static string Settings { get; } = $$"""{ "credentials": { "harbour": { "community": "{{SnmpdAgent.Community}}" } } }""";

    /// <summary>What the agent says where the camera draws so much; RFC 3621 with the milliwatt column of IEEE Std 802.3.1.</summary>
    public static Recording Drawing(int milliwatts) => new Recording()
        .Port(1, 1, state: 3, classification: 5).Draw(Recording.IeeeDraw, "1.1", milliwatts)
        .Port(1, 2, state: 2, classification: 1).Draw(Recording.IeeeDraw, "1.2", 0)
        .Group(1, powerW: 370, drawW: milliwatts / 1000);

    public static string Design(int udpPort, string poleName = "Ferry ramp", string period = "1s") => $$"""
        format: poewatch-design/1
        site: {name: Skerry Haven}
        poles:
          - {id: pole-ferry, name: {{poleName}}}
        device-types:
          - {id: camera, class: 6, demand-w: 30}
        devices:
          - {id: cam-ferry, type: camera, pole: pole-ferry}
        switches:
          - id: quay
            address: 127.0.0.1:{{udpPort}}
            credentials: harbour
            poll-period: {{period}}
            draw-column: {oid: {{Recording.IeeeDraw}}, unit: milliwatt, index: group-and-port}
            groups: [{group: 1, port-count: 8, budget-w: 370}]
            ports: [{port: 1/1, limit-w: 60}]
        cables:
          - {from: "quay:1/1", to: cam-ferry, length-m: 90, gauge-awg: 23}

        """;

    /// <summary>Starts the service on what lies in the folder, with any free TCP port.</summary>
    public static Task<Service> ServeAsync(WorkFolder folder, IReadOnlyDictionary<string, string?>? environment = null) => Service.ServingAsync(
        ["serve", "--design", folder.At("design.yaml"), "--settings", folder.At("settings.json"), "--data", folder.At("data"), "--port", "0"], environment);
}
