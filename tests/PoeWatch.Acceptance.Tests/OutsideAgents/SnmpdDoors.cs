using PoeWatch.Acceptance.Tests.Agents;
using PoeWatch.Acceptance.Tests.Support;

namespace PoeWatch.Acceptance.Tests.OutsideAgents;

/// <summary>One Net-SNMP agent asked in every way at once: with right credentials of each version, and with each kind of wrong ones.</summary>
public sealed class SnmpdDoors : IAsyncLifetime
{
    /// <summary>What the design calls the switch that asks with these credentials, and the credentials as the settings have them.</summary>
    private static readonly (string Id, string Credentials)[] Doors =
    [
        ("community", $$"""{ "community": "{{SnmpdAgent.Community}}" }"""),
        ("sha-aes", """{ "version": "v3", "user": "keeper", "auth": "sha1", "authPassphrase": "salt-and-iron", "privacy": "aes128", "privacyPassphrase": "tide-at-dawn" }"""),
        ("sha256-aes", """{ "version": "v3", "user": "keeper-256", "auth": "sha256", "authPassphrase": "salt-and-iron", "privacy": "aes128", "privacyPassphrase": "tide-at-dawn" }"""),
        ("sha512-aes256", """{ "version": "v3", "user": "keeper-512", "auth": "sha512", "authPassphrase": "salt-and-iron", "privacy": "aes256", "privacyPassphrase": "tide-at-dawn" }"""),
        ("sha-only", """{ "version": "v3", "user": "reader", "auth": "sha1", "authPassphrase": "rope-and-tar" }"""),
        ("wrong-community", """{ "community": "harbour-raed" }"""),
        ("wrong-user", """{ "version": "v3", "user": "keeeper", "auth": "sha1", "authPassphrase": "salt-and-iron", "privacy": "aes128", "privacyPassphrase": "tide-at-dawn" }"""),
        ("wrong-digest", """{ "version": "v3", "user": "keeper", "auth": "sha1", "authPassphrase": "salt-and-steel", "privacy": "aes128", "privacyPassphrase": "tide-at-dawn" }"""),
        ("wrong-digest-kind", """{ "version": "v3", "user": "keeper", "auth": "sha256", "authPassphrase": "salt-and-iron", "privacy": "aes128", "privacyPassphrase": "tide-at-dawn" }"""),
        ("level-too-high", """{ "version": "v3", "user": "reader", "auth": "sha1", "authPassphrase": "rope-and-tar", "privacy": "aes128", "privacyPassphrase": "tide-at-dawn" }"""),
        ("level-too-low", """{ "version": "v3", "user": "keeper", "auth": "sha1", "authPassphrase": "salt-and-iron" }"""),
        ("wrong-privacy", """{ "version": "v3", "user": "keeper", "auth": "sha1", "authPassphrase": "salt-and-iron", "privacy": "aes128", "privacyPassphrase": "tide-at-dusk" }"""),
    ];

    private readonly WorkFolder _folder = new();

    internal SnmpdAgent Agent { get; private set; } = null!;

    internal Service Service { get; private set; } = null!;

    /// <summary>
    /// As RFC 3621 and IEEE Std 802.3.1 define the objects; the figures are made up. The agent tells of this machine's own interfaces too, so those of the
    /// recording have numbers that it does not use.
    /// </summary>
    internal static Recording Values => new Recording()
        .Port(1, 1, state: 3, classification: 5).Interface(101, "port1").Draw(Recording.IeeeDraw, "1.1", 18_250)
        .Port(1, 2, state: 2, classification: 1).Interface(102, "port2").Draw(Recording.IeeeDraw, "1.2", 0)
        .Port(1, 6, state: 3, classification: 3).Interface(106, "port6")
        .Group(1, powerW: 240, drawW: 24);

    public async ValueTask InitializeAsync()
    {
        Agent = await SnmpdAgent.StartAsync(
            Values,
            Doors.Length,
            new SnmpdUser("keeper", "SHA", "salt-and-iron", "AES", "tide-at-dawn", "authpriv"),
            new SnmpdUser("keeper-256", "SHA-256", "salt-and-iron", "AES", "tide-at-dawn", "authpriv"),
            new SnmpdUser("keeper-512", "SHA-512", "salt-and-iron", "AES-256", "tide-at-dawn", "authpriv"),
            new SnmpdUser("reader", "SHA", "rope-and-tar", null, null, "authnopriv"));
        var switches = Doors.Select((door, i) => $$"""
              - id: {{door.Id}}
                address: 127.0.0.1:{{Agent.Ports[i]}}
                credentials: {{door.Id}}
                poll-period: 1s
                draw-column: {oid: {{Recording.IeeeDraw}}, unit: milliwatt, index: group-and-port}
                groups: [{group: 1, port-count: 8, budget-w: 240}]
            """);
        var design = _folder.Write("design.yaml", $"format: poewatch-design/1\nsite: {{name: Skerry Haven}}\nswitches:\n{string.Join('\n', switches)}\n");
        var settings = _folder.Write(
            "settings.json", $$"""{ "credentials": { {{string.Join(",\n", Doors.Select(door => $"\"{door.Id}\": {door.Credentials}"))}} } }""");
        Service = await Service.ServingAsync(["serve", "--design", design, "--settings", settings, "--data", _folder.At("data"), "--port", "0"]);
    }

    public async ValueTask DisposeAsync()
    {
        await (Service?.DisposeAsync() ?? ValueTask.CompletedTask);
        await (Agent?.DisposeAsync() ?? ValueTask.CompletedTask);
        _folder.Dispose();
    }
}
