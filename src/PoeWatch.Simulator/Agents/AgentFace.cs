using PoeWatch.Domain.Design;
using PoeWatch.Simulator.Faults;
using PoeWatch.Simulator.World;

namespace PoeWatch.Simulator.Agents;

/// <summary>What an agent of a world shows and when it answers, without its socket. For one thread at a time.</summary>
internal sealed class AgentFace
{
    private static readonly DateTimeOffset s_bootEpoch = new(2020, 1, 1, 0, 0, 0, TimeSpan.Zero);

    private readonly SimulatedWorld _world;
    private readonly string _elementId;
    private bool _isUps;
    private long _asked;

    private AgentFace(SimulatedWorld world, string elementId, MibView view)
    {
        (_world, _elementId, View) = (world, elementId, view);
    }

    public MibView View { get; }

    /// <summary>How long it takes to answer now.</summary>
    public TimeSpan Delay => Fault.Delay;

    /// <summary>True where somebody has changed its community or user.</summary>
    public bool RefusesCredentials => Fault.RefusesCredentials;

    private AgentFault Fault => _world.FaultsNow().AtAgent(_elementId);

    /// <summary>The agent of something that feeds.</summary>
    public static AgentFace OfPse(SimulatedWorld world, string elementId) => new(world, elementId, PseMib.Of(
        world.ShapeOf(elementId),
        world.Design.Agents[elementId].DrawColumn,
        world.Design.Site.Name,
        EngineId.For(elementId),
        SensorMib.Thermometers(
            world.Design.Conditions.Thermometers.Where(t => t.PseId == elementId),
            () => world.AirAt(world.Start + world.Elapsed),
            () => world.FaultsNow().Cabinets.TryGetValue(elementId, out var inside) ? inside : null)));

    /// <summary>The agent of a UPS.</summary>
    public static AgentFace OfUps(SimulatedWorld world, Ups ups) =>
        new(world, ups.Id, UpsMib.Of(ups.Id, ups.Name, world.Design.Site.Name, EngineId.For(ups.Id))) { _isUps = true };

    /// <summary>Counts a question. True where its answer is lost: that follows from seed, agent and how many questions came before.</summary>
    public bool LosesAnswer() => _world.Chance.Share("lost " + _elementId, ++_asked) * 100 < Fault.LostPercent;

    /// <summary>What it knows now; null where it does not answer.</summary>
    public AgentMoment? Now()
    {
        var faults = _world.FaultsNow();
        var elapsed = _world.Elapsed;
        if (faults.Unreachable.Contains(_elementId) || Powered() is not var (powered, pse, ups))
        {
            return null;
        }

        var restart = faults.Restarts.GetValueOrDefault(_elementId);
        var boot = powered == TimeSpan.Zero ? TimeSpan.Zero : powered + _world.Options.BootTime;
        var upSince = restart.Count > 0 && restart.At > boot ? restart.At : boot;
        if (elapsed < upSince)
        {
            return null;
        }

        // A harbour that is started again must not go back in RFC 3414's eyes: seconds since 2020 rise from start to start.
        var boots = (int)(_world.Start - s_bootEpoch).TotalSeconds + (int)upSince.TotalSeconds;
        var fault = faults.AtAgent(_elementId);
        var running = elapsed - upSince + Before(upSince);
        var shift = fault.ClockSetAt >= upSince ? fault.UpTimeShift : TimeSpan.Zero;
        var upTime = TimeSpan.FromTicks(Math.Max(0, (running + shift).Ticks));
        return new AgentMoment(pse, upTime, boots)
        {
            ClockShift = upTime - running,
            Date = _world.Start + elapsed + fault.DateShift,
            SystemUpTime = elapsed - powered + Before(powered),
            SinceNeighboursChanged = elapsed - pse.NeighboursChanged,
            Ups = ups,
        };
    }

    private TimeSpan Before(TimeSpan since) => since == TimeSpan.Zero ? _world.Options.RanBefore : TimeSpan.Zero;

    private (TimeSpan Since, PseSnapshot Pse, UpsSnapshot? Ups)? Powered()
    {
        if (_isUps)
        {
            return _world.LookAtUps(_elementId) is { } ups ? (TimeSpan.Zero, PseSnapshot.None, ups) : null;
        }

        return _world.Look(_elementId) is { PoweredSince: { } powered } pse ? (powered, pse, null) : null;
    }
}
