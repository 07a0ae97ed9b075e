using System.Collections.Frozen;
using System.Collections.Immutable;
using PoeWatch.Domain.Budgets;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.PowerFlow;
using PoeWatch.Domain.Quantities;
using PoeWatch.Domain.Readings;
using PoeWatch.Simulator.Faults;

namespace PoeWatch.Simulator.World;

/// <summary>
/// A harbour of PDs, cables and PSEs as a design describes it, alive: devices draw by day, night and season, PSEs feed, police, deny
/// and shed. Design, seed, script and start make the world; the same four make the same world. Thread safe.
/// </summary>
/// <remarks>
/// Draws are pure functions of time. What has memory (port states, counters) moves in steps of
/// <see cref="WorldOptions.RefreshPeriod"/> counted from the start, so that it does not matter when somebody looks, as long as somebody looks
/// at least once in <see cref="MostStepsAtOnce"/> steps: a world that was left alone for longer skips to the last of them.
/// </remarks>
public sealed class SimulatedWorld
{
    /// <summary>Steps that one look catches up on.</summary>
    public const int MostStepsAtOnce = 3600;

    private readonly DesignModel _design;
    private readonly TimeProvider _time;
    private readonly FaultScript _script;
    private readonly WorldOptions _options;
    private readonly DeviceDraw _deviceDraw;
    private readonly DeviceStarts _starts;
    private readonly SimulatedSky _sky;
    private readonly FrozenDictionary<string, PseMachine> _machines;
    private readonly ImmutableArray<PseMachine> _sources;
    private readonly FrozenDictionary<string, UpsMachine> _upsUnits;
    private readonly FrozenDictionary<string, UpsMachine> _upsBefore;
    private readonly DateTimeOffset _start;
    private readonly long _startTimestamp;
    private readonly Lock _stepping = new();
    private long _stepsDone;

    // Replaced whole after each step, never changed.
    private Dictionary<string, PseSnapshot> _shown = [];
    private Dictionary<string, UpsSnapshot> _shownUps = [];

    public SimulatedWorld(DesignModel design, int seed, TimeProvider time, FaultScript? script = null, WorldOptions? options = null)
    {
        _design = design;
        _time = time;
        _script = script ?? FaultScript.Calm;
        _options = options ?? new WorldOptions();
        ArgumentOutOfRangeException.ThrowIfLessThanOrEqual(_options.RefreshPeriod, TimeSpan.Zero);
        ArgumentOutOfRangeException.ThrowIfLessThan(_options.MeterStepMilliwatts, 1);
        _start = time.GetUtcNow();
        _startTimestamp = time.GetTimestamp();
        var chance = new Chance(seed);
        _sky = new SimulatedSky(chance, SimulatedSky.ZoneOf(design.Site));
        Chance = chance;
        _deviceDraw = new DeviceDraw(design, chance);
        _starts = new DeviceStarts(design);
        _machines = PseShape.AllOf(design).Select(shape => new PseMachine(shape)).ToFrozenDictionary(machine => machine.Shape.ElementId);
        _sources = [.. _machines.Values.Where(machine => !design.PassThroughSwitches.ContainsKey(machine.Shape.ElementId))];
        _upsUnits = design.UpsUnits.Values.Select(ups => new UpsMachine(ups)).ToFrozenDictionary(machine => machine.Ups.Id);
        _upsBefore = _upsUnits.Values.SelectMany(ups => ups.Ups.SwitchIds.Select(id => (id, ups))).ToFrozenDictionary(fed => fed.id, fed => fed.ups);
        foreach (var source in _sources)
        {
            source.SetPowered(true, TimeSpan.Zero);
        }
    }

    /// <summary>When the world began.</summary>
    public DateTimeOffset Start => _start;

    /// <summary>Real time since the start, by the monotonic clock: a set clock does not shake the world.</summary>
    public TimeSpan Elapsed => _time.GetElapsedTime(_startTimestamp);

    internal DesignModel Design => _design;

    internal WorldOptions Options => _options;

    internal Chance Chance { get; }

    internal TimeProvider Time => _time;

    /// <summary>What a device draws at its input while it is fed, whether it is fed or not.</summary>
    /// <param name="at">Real time at or after the start.</param>
    /// <exception cref="KeyNotFoundException">The design has no such device.</exception>
    public Power DrawAt(string deviceId, DateTimeOffset at) => DrawOf(_design.Devices[deviceId], MomentAt(at - _start));

    /// <summary>Air temperature over the site.</summary>
    public Temperature AirAt(DateTimeOffset at) => MomentAt(at - _start).Air;

    /// <summary>True sum of what flows out of a PSE's ports at its last look; null for an element that feeds nothing.</summary>
    public Power? DrawOf(string pseId) => Look(pseId)?.Groups.Aggregate(Power.Zero, (sum, group) => sum + group.Draw);

    /// <summary>State and true draw of a port at its PSE's last look; null where there is no such port.</summary>
    public (PortState State, Power Draw)? PortAt(PsePortRef port) =>
        Look(port.PseId)?.Groups.SelectMany(group => group.Ports).FirstOrDefault(shown => shown.Ref == port) is { } found
            ? (found.State, found.Draw)
            : null;

    internal PseSnapshot? Look(string pseId) => CatchUp().GetValueOrDefault(pseId);

    /// <summary>What a UPS shows; null where it is dark, its battery empty.</summary>
    internal UpsSnapshot? LookAtUps(string upsId)
    {
        CatchUp();
        return _shownUps.GetValueOrDefault(upsId);
    }

    internal PseShape ShapeOf(string pseId) => _machines[pseId].Shape;

    internal FaultState FaultsNow() => _script.At(Elapsed);

    /// <summary>Steps up to now and gives what every PSE shows.</summary>
    internal IReadOnlyDictionary<string, PseSnapshot> CatchUp()
    {
        var due = (Elapsed.Ticks / _options.RefreshPeriod.Ticks) + 1;
        lock (_stepping)
        {
            if (due - _stepsDone > MostStepsAtOnce)
            {
                _stepsDone = due - MostStepsAtOnce;
            }

            while (_stepsDone < due)
            {
                Step(MomentAt(_options.RefreshPeriod * _stepsDone), isLast: _stepsDone == due - 1);
                _stepsDone++;
            }

            return _shown;
        }
    }

    private void Step(Moment moment, bool isLast)
    {
        var loads = new Dictionary<PsePortRef, PortLoad>();
        foreach (var run in _design.CableRuns.Values)
        {
            LoadRun(run, moment, loads);
        }

        foreach (var ups in _upsUnits.Values)
        {
            var hasMains = !moment.Faults.IsSiteWithoutMains && !moment.Faults.UpsOnBattery.Contains(ups.Ups.Id);
            ups.Step(hasMains, LoadOf(ups.Ups), moment.Elapsed, moment.Elapsed > TimeSpan.Zero ? _options.RefreshPeriod : TimeSpan.Zero);
        }

        foreach (var source in _sources)
        {
            source.SetPowered(HasMains(source.Shape.ElementId, moment.Faults), moment.Elapsed);
            source.Step(moment.Elapsed, moment.Faults, port => loads.GetValueOrDefault(port), port => IsOffByPlan(port, moment));
        }

        foreach (var run in _design.CableRuns.Values)
        {
            PowerBelow(run.Root, _machines[PseShape.FeedOf(run).PseId].IsDelivering(PseShape.FeedOf(run)), moment);
        }

        if (isLast)
        {
            _shown = _machines.ToDictionary(
                entry => entry.Key, entry => entry.Value.Snapshot(moment.Faults, _options.MeterStepMilliwatts));
            _shownUps = _upsUnits.Values.Where(ups => ups.IsFeeding).ToDictionary(ups => ups.Ups.Id, ups => ups.Shown);
        }
    }

    // Outputs of pass-through switches decide first, on what they would carry; the port before them then sees what they let through.
    private void LoadRun(CableRun run, Moment moment, Dictionary<PsePortRef, PortLoad> loads)
    {
        if (RunLoads.AsItStands(run.Root, moment.Faults, moment.Elapsed) is not { } root)
        {
            return;
        }

        var flow = RunLoads.Solve(run, root, device => DrawOf(device, moment, isStarting: true));
        var isPassing = true;
        foreach (var pass in root.SelfAndBelow().Where(place => place.Kind == FlowNodeKind.PassThroughSwitch))
        {
            var below = pass.Children.ToDictionary(
                RunLoads.OutputFeeding,
                child => new PortLoad(true, RunLoads.IntoSegmentOf(child, flow), RunLoads.RequestedClass(child, _design, moment.Faults)));
            var machine = _machines[pass.ElementId];
            machine.Step(moment.Elapsed, moment.Faults, port => below.GetValueOrDefault(port), port => IsOffByPlan(port, moment));
            isPassing &= below.Keys.All(machine.IsDelivering);
        }

        if (!isPassing)
        {
            root = RunLoads.Prune(root, IsCutByOutput)!;
            flow = RunLoads.Solve(run, root, device => DrawOf(device, moment, isStarting: true));
        }

        foreach (var pass in root.SelfAndBelow().Where(place => place.Kind == FlowNodeKind.PassThroughSwitch))
        {
            if (flow.Outcome == FlowOutcome.Solved && _machines[pass.ElementId] is { PoweredSince: not null } machine)
            {
                machine.ReadInput(flow.Points[pass.ElementId].Voltage, flow.Points[pass.ElementId].DrawAtInput, moment.Faults, moment.Elapsed);
            }
        }

        loads[PseShape.FeedOf(run)] = new PortLoad(true, RunLoads.IntoSegmentOf(root, flow), RunLoads.RequestedClass(root, _design, moment.Faults));
    }

    private bool IsCutByOutput(FlowNode place)
    {
        var output = RunLoads.OutputFeeding(place);
        return _design.PassThroughSwitches.ContainsKey(output.PseId) && !_machines[output.PseId].IsDelivering(output);
    }

    private void PowerBelow(FlowNode place, bool isFed, Moment moment)
    {
        isFed &= !moment.Faults.Unplugged.Contains(place.ElementId);
        if (place.Kind == FlowNodeKind.PassThroughSwitch)
        {
            _machines[place.ElementId].SetPowered(isFed, moment.Elapsed);
        }
        else if (place.Kind == FlowNodeKind.Device)
        {
            _starts.See(place.ElementId, isFed, moment.Elapsed);
        }

        foreach (var child in place.Children)
        {
            PowerBelow(child, isFed && !IsCutByOutput(child), moment);
        }
    }

    private bool IsOffByPlan(PsePortRef port, Moment moment) =>
        _design.Schedules.Any(schedule => schedule.Ports.Contains(port) && schedule.Off.Contains(moment.ByPlan));

    private bool HasMains(string elementId, FaultState faults) => !faults.WithoutMains.Contains(elementId)
        && (_upsBefore.TryGetValue(elementId, out var ups) ? ups.IsFeeding : !faults.IsSiteWithoutMains);

    // What the switches behind it drew at the look before; a dark one takes nothing.
    private Power LoadOf(Ups ups) => UpsLoad.Of(ups, ups.SwitchIds.Where(id => _machines[id].PoweredSince is not null).SelectMany(
        id => _machines[id].Draws.Select(draw => (_design.Switches[id].Groups[draw.Group], draw.Draw))));

    /// <param name="isStarting">True where a boot counts: what a device draws by itself does not tell when it was dark.</param>
    private Power DrawOf(PoweredDevice device, Moment moment, bool isStarting = false)
    {
        var here = moment.Faults.Occupants.IsEmpty ? device : device with { TypeId = moment.Faults.TypeIn(device) };
        var healthy = _deviceDraw.At(here, _start + moment.Elapsed, moment.Local, moment.Air, moment.Faults.ForcedLoadCases);
        var draw = moment.Faults.DrawOf(device.Id, healthy, moment.Elapsed);
        // What a script says that it draws stands as written.
        return isStarting && !moment.Faults.FixedDraws.ContainsKey(device.Id)
            ? _starts.Draw(device.Id, _design.DeviceTypes[here.TypeId], draw, moment.Elapsed)
            : draw;
    }

    private Moment MomentAt(TimeSpan elapsed)
    {
        var faults = _script.At(elapsed);
        var sky = _options.Sky.At(_start, _start + elapsed);
        var byPlan = TimeOnly.FromDateTime(_sky.LocalTime(_start + elapsed));
        return new Moment(elapsed, faults, _sky.LocalTime(sky), faults.Air ?? _sky.Air(sky), byPlan);
    }

    /// <param name="Local">Site time under the simulated sky.</param>
    /// <param name="ByPlan">Site time by the real clock, which schedules follow.</param>
    private readonly record struct Moment(TimeSpan Elapsed, FaultState Faults, DateTime Local, Temperature Air, TimeOnly ByPlan);
}
