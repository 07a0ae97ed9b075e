using System.Collections.Frozen;
using System.Reflection;
using PoeWatch.DesignFiles;
using PoeWatch.Domain.Design;
using PoeWatch.Monitoring.Abstractions;
using PoeWatch.Server.Settings;
using PoeWatch.Simulator;
using PoeWatch.Simulator.Faults;
using PoeWatch.Simulator.World;
using PoeWatch.Snmp;

namespace PoeWatch.Server.Demo;

/// <summary>
/// The simulated harbour of the demo, and the design that its agents are polled by. The only place of the product that knows the simulator.
/// </summary>
public sealed class DemoHarbour : IDesignSource, IAsyncDisposable
{
    private const string DesignName = "skerry-haven.yaml";
    private const string ScriptName = "skerry-haven.faults";

    // A harbour that has been at work for weeks: one that just came up would be let boot before it is alarmed.
    private static readonly WorldOptions s_world = new() { RanBefore = TimeSpan.FromDays(40) };

    private readonly SimulatedHarbour _harbour;
    private readonly string _text;

    private DemoHarbour(SimulatedHarbour harbour, string text) => (_harbour, _text) = (harbour, text);

    /// <summary>What opens every simulated agent. No secret: the agents are on loopback and hold nothing.</summary>
    public static SnmpCredentials Credentials { get; } = new CommunityCredentials("skerry-haven");

    /// <exception cref="SettingsException">The agents could not be started.</exception>
    public static async Task<DemoHarbour> StartAsync(int seed, bool calm, ILogger<DemoHarbour> log)
    {
        var text = Resource(DesignName);
        DesignModel design = Parse(text, DesignName).Model
            ?? throw new InvalidOperationException("The demo's own design is refused: " + string.Join(Environment.NewLine, Parse(text, DesignName).Problems));
        FaultScript script = calm ? FaultScript.Calm : Script(Resource(ScriptName), design);
        FrozenDictionary<string, SnmpCredentials> credentials =
            AgentsOf(design).Select(a => a.Agent.Credentials).Distinct().ToFrozenDictionary(name => name, _ => Credentials);

        // The designed ports are nice to have (somebody may ask the agents by hand), free ones do as well.
        HarbourStart start = await SimulatedHarbour.StartAsync(design, seed, script, credentials, TimeProvider.System, log, onDesignedPorts: true, s_world);
        if (start.Harbour is null)
        {
            start = await SimulatedHarbour.StartAsync(design, seed, script, credentials, TimeProvider.System, log, options: s_world);
        }

        return start.Harbour is { } harbour ? new DemoHarbour(harbour, PointAt(text, design, harbour)) : throw new SettingsException(start.Problem);
    }

    public DesignReading Read() => Parse(_text, DesignName);

    DesignReading IDesignSource.Parse(string text, string name) => Parse(text, name);

    public ValueTask DisposeAsync() => _harbour.DisposeAsync();

    private static string PointAt(string text, DesignModel design, SimulatedHarbour harbour)
    {
        foreach (var (id, agent) in AgentsOf(design))
        {
            text = text.Replace(
                FormattableString.Invariant($"{agent.Address}:{agent.UdpPort}"),
                FormattableString.Invariant($"{agent.Address}:{harbour.EndPoints[id].Port}"),
                StringComparison.Ordinal);
        }

        return text;
    }

    private static IEnumerable<(string Id, SnmpAgent Agent)> AgentsOf(DesignModel design) =>
        design.Agents.Select(entry => (entry.Key, entry.Value))
            .Concat(design.UpsUnits.Values.Where(ups => ups.Agent is not null).Select(ups => (ups.Id, ups.Agent!)));

    private static DesignReading Parse(string text, string name)
    {
        LoadedDesign read = DesignFile.ParseJoined(text, name);
        return new DesignReading(read.Result.Model, read.Result.Problems, read.JoinedText);
    }

    private static FaultScript Script(string text, DesignModel design)
    {
        FaultScriptReading reading = FaultScriptText.Read(text, design);
        return reading.Script ?? throw new InvalidOperationException("The demo's own fault script is refused: " + string.Join(' ', reading.Problems));
    }

    private static string Resource(string name)
    {
        using Stream stream = Assembly.GetExecutingAssembly().GetManifestResourceStream("demo/" + name)
            ?? throw new InvalidOperationException($"'{name}' is missing in the build.");
        using var reader = new StreamReader(stream);
        return reader.ReadToEnd();
    }
}
