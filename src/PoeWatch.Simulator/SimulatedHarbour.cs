using System.Collections.Frozen;
using System.Net;
using System.Net.Sockets;
using Microsoft.Extensions.Logging;
using PoeWatch.Domain.Design;
using PoeWatch.Simulator.Agents;
using PoeWatch.Simulator.Faults;
using PoeWatch.Simulator.World;
using PoeWatch.Snmp;
using PoeWatch.Snmp.Security;

namespace PoeWatch.Simulator;

/// <summary>What came of starting a harbour: the harbour, or what hindered it and what to do.</summary>
public sealed record HarbourStart(SimulatedHarbour? Harbour, string Problem);

/// <summary>
/// A simulated world with an SNMP agent on 127.0.0.1 for everything in the design that has one. Dispose it to close all sockets.
/// Thread safe.
/// </summary>
public sealed partial class SimulatedHarbour : IAsyncDisposable
{
    private readonly List<SimulatedAgent> _agents = [];
    private readonly FaultScript _script;
    private readonly ILogger _logger;
    private readonly ITimer _heart;
    private readonly Lock _beating = new();
    private int _eventsTold;

    private SimulatedHarbour(SimulatedWorld world, FaultScript script, TimeProvider time, ILogger logger)
    {
        World = world;
        _script = script;
        _logger = logger;
        _heart = time.CreateTimer(_ => TryBeat(), null, TimeSpan.Zero, world.Options.RefreshPeriod);
    }

    /// <summary>The world behind the agents: what is really so.</summary>
    public SimulatedWorld World { get; }

    /// <summary>Where each agent answers, by element id.</summary>
    public FrozenDictionary<string, IPEndPoint> EndPoints { get; private set; } = FrozenDictionary<string, IPEndPoint>.Empty;

    /// <summary>Answers that all agents have sent.</summary>
    public long Answers => _agents.Sum(agent => agent.Answers);

    /// <summary>Starts all agents of a design, or none.</summary>
    /// <param name="credentials">What opens the agents, by the name that the design gives.</param>
    /// <param name="onDesignedPorts">True to bind the UDP ports that the design names, false to take free ones.</param>
    public static async Task<HarbourStart> StartAsync(
        DesignModel design,
        int seed,
        FaultScript script,
        IReadOnlyDictionary<string, SnmpCredentials> credentials,
        TimeProvider time,
        ILogger logger,
        bool onDesignedPorts = false,
        WorldOptions? options = null)
    {
        var harbour = new SimulatedHarbour(new SimulatedWorld(design, seed, time, script, options), script, time, logger);
        var problem = harbour.StartAgents(design, credentials, onDesignedPorts);
        if (problem.Length == 0)
        {
            return new HarbourStart(harbour, "");
        }

        await harbour.DisposeAsync();
        return new HarbourStart(null, problem);
    }

    /// <summary>
    /// What the agent at an end point does with a datagram, for a manager that drives time and has no network between: the same bytes, at once. Not at the same
    /// time as over sockets.
    /// </summary>
    /// <param name="buffer">At least twice <see cref="SimulatedAgent.MaxMessageSize"/>; the answer stands at its end.</param>
    /// <param name="delay">How long the answer takes; the caller lets the time pass.</param>
    /// <returns>The length of the answer; 0 where there is no such agent or it stays silent.</returns>
    public int Answer(IPEndPoint endPoint, ReadOnlySpan<byte> datagram, Span<byte> buffer, out TimeSpan delay)
    {
        delay = TimeSpan.Zero;
        return _agents.Find(agent => agent.EndPoint.Equals(endPoint)) is { } found ? found.Answer(datagram, buffer, out delay) : 0;
    }

    public async ValueTask DisposeAsync()
    {
        await _heart.DisposeAsync();
        foreach (var agent in _agents)
        {
            await agent.DisposeAsync();
        }
    }

    private string StartAgents(DesignModel design, IReadOnlyDictionary<string, SnmpCredentials> credentials, bool onDesignedPorts)
    {
        var userKeys = new UserKeyCache();
        var agents = design.Agents.Select(entry => (Id: entry.Key, Agent: entry.Value, Face: AgentFace.OfPse(World, entry.Key)))
            .Concat(design.UpsUnits.Values.Where(ups => ups.Agent is not null).Select(ups => (ups.Id, ups.Agent!, AgentFace.OfUps(World, ups))));
        foreach (var (elementId, agent, face) in agents.OrderBy(entry => entry.Id, StringComparer.Ordinal))
        {
            if (!credentials.TryGetValue(agent.Credentials, out var opened))
            {
                return $"No credentials named '{agent.Credentials}' for the agent of {elementId}. Add them to the settings.";
            }

            var udpPort = onDesignedPorts ? agent.UdpPort : 0;
            try
            {
                _agents.Add(new SimulatedAgent(World, elementId, face, opened, userKeys, udpPort, _logger));
            }
            catch (SocketException e)
            {
                return FormattableString.Invariant(
                    $"The agent of {elementId} cannot have UDP port {udpPort} on 127.0.0.1 ({e.SocketErrorCode}). End what holds it, or give the agent another port.");
            }

            LogAgentStarted(elementId, _agents[^1].EndPoint);
        }

        EndPoints = _agents.ToFrozenDictionary(agent => agent.ElementId, agent => agent.EndPoint);
        return "";
    }

    // An exception out of a timer would end the process, the service under demonstration with it.
    private void TryBeat()
    {
        try
        {
            Beat();
        }
        catch (Exception e)
        {
            LogBeatFailed(e);
        }
    }

    // Keeps the world moving where nobody asks, and tells what the script does.
    private void Beat()
    {
        lock (_beating)
        {
            World.CatchUp();
            while (_eventsTold < _script.Events.Length && _script.Events[_eventsTold].At <= World.Elapsed)
            {
                LogEvent(_script.Events[_eventsTold].At, SimulatedEventWords.Of(_script.Events[_eventsTold].Event));
                _eventsTold++;
            }
        }
    }

    [LoggerMessage(6500, LogLevel.Information, "Simulated agent of {Element} answers at {EndPoint}")]
    private partial void LogAgentStarted(string element, IPEndPoint endPoint);

    [LoggerMessage(6501, LogLevel.Information, "Simulated harbour, {SinceStart} after its start: {Event}")]
    private partial void LogEvent(TimeSpan sinceStart, string @event);

    [LoggerMessage(6502, LogLevel.Error, "The simulated world could not take a step: a fault of the simulator")]
    private partial void LogBeatFailed(Exception failure);
}
