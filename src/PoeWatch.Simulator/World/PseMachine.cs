using System.Collections.Immutable;
using PoeWatch.Domain.Budgets;
using PoeWatch.Domain.Quantities;
using PoeWatch.Domain.Readings;
using PoeWatch.Simulator.Faults;

namespace PoeWatch.Simulator.World;

/// <summary>One PSE with its ports and groups over time. Not thread safe; the world steps it.</summary>
internal sealed class PseMachine
{
    private readonly ImmutableArray<(PseGroupShape Group, ImmutableArray<PsePortMachine> Ports)> _groups;
    private readonly Dictionary<PsePortRef, PsePortMachine> _ports;
    private int _restartsSeen;
    private int _settingsSeen;
    private readonly HeldReading<(Voltage Voltage, Power Draw)> _input = new();
    private int _neighboursSeen;
    private TimeSpan _neighboursChanged;

    public PseMachine(PseShape shape)
    {
        Shape = shape;
        _groups = [.. shape.Groups.Select(group => (group, group.Ports.Select(port => new PsePortMachine(port)).ToImmutableArray()))];
        _ports = _groups.SelectMany(group => group.Ports).ToDictionary(port => port.Shape.Ref);
    }

    public PseShape Shape { get; }

    /// <summary>Since when it has power; null while it has none.</summary>
    public TimeSpan? PoweredSince { get; set; }

    /// <summary>True sum of what flows out of each group.</summary>
    public IEnumerable<(int Group, Power Draw)> Draws =>
        _groups.Select(entry => (entry.Group.Number, entry.Ports.Aggregate(Power.Zero, (sum, port) => sum + port.Draw)));

    public bool IsDelivering(PsePortRef port) => _ports.TryGetValue(port, out var machine) && machine.IsDelivering;

    /// <summary>Takes its power away or gives it back.</summary>
    public void SetPowered(bool isPowered, TimeSpan now)
    {
        if (isPowered)
        {
            PoweredSince ??= now;
        }
        else if (PoweredSince is not null)
        {
            PoweredSince = null;
            _input.Forget();
            foreach (var port in _ports.Values)
            {
                port.LosePower();
            }
        }
    }

    /// <summary>One look of the controller at all its ports.</summary>
    /// <param name="loadOf">What hangs on each port now.</param>
    /// <param name="isOffByPlan">Ports that a schedule has switched off.</param>
    public void Step(TimeSpan now, FaultState faults, Func<PsePortRef, PortLoad> loadOf, Func<PsePortRef, bool> isOffByPlan)
    {
        if (PoweredSince is null)
        {
            return;
        }

        ForgetCountersAfterRestart(faults);
        var agent = faults.AtAgent(Shape.ElementId);
        foreach (var (group, ports) in _groups)
        {
            var draws = new Dictionary<int, Power>(ports.Length);
            var requests = new List<PowerRequest>(ports.Length);
            var turns = new StartTurns(group, now - PoweredSince.Value, isFirstStart: PoweredSince == TimeSpan.Zero);
            foreach (var port in turns.InOrder(ports))
            {
                var reference = port.Shape.Ref;
                var own = faults.At(reference);
                port.Priority = faults.Priorities.TryGetValue(reference, out var set) ? set : port.Shape.Criticality;
                port.CountByScript(own.Counting, now);
                var load = LoadAt(reference, own, faults, loadOf, now);
                var trouble = faults.Troubles.GetValueOrDefault(reference);
                var grant = faults.Grants.TryGetValue(reference, out var highest) ? highest : (Domain.Poe.PoeClass?)null;
                if (load.IsAttached && !turns.HasCome())
                {
                    port.WaitForItsTurn();
                }
                else if (port.Ask(load, trouble, grant, isOffByPlan(reference) && !own.IgnoresPlan, group.Allocation, now) is { } request)
                {
                    requests.Add(request);
                    draws.Add(request.Port, load.DrawAtOutput!.Value);
                }
            }

            Share(UsableOf(group, faults), ports, requests, draws);
            foreach (var port in ports)
            {
                port.ReadMeter(agent.Repeats, now);
            }
        }

        SeeNeighbours(faults, now);
    }

    /// <summary>What arrives at the uplink of a pass-through switch.</summary>
    public void ReadInput(Voltage voltage, Power draw, FaultState faults, TimeSpan now) =>
        _input.Read((voltage, draw), faults.AtAgent(Shape.ElementId).Repeats, now);

    /// <summary>What it shows of itself now.</summary>
    public PseSnapshot Snapshot(FaultState faults, int meterStepMilliwatts) => new(
        PoweredSince,
        [.. _groups.Select(entry => new GroupSnapshot(
            entry.Group.Number,
            BudgetOf(entry.Group, faults),
            entry.Ports.Aggregate(Power.Zero, (sum, port) => sum + port.Draw),
            [.. entry.Ports.Select(port => PortSnapshot.Of(port, faults, meterStepMilliwatts))]))])
    {
        Input = Shape.HasUplinkPower
            ? new PseInput(_input.Value.Voltage, _input.Value.Draw, faults.AtAgent(Shape.ElementId).Metered(_input.Value.Draw, meterStepMilliwatts))
            : null,
        MeterStepMilliwatts = faults.AtAgent(Shape.ElementId).MeterStepMilliwatts ?? meterStepMilliwatts,
        WattsFactor = faults.AtAgent(Shape.ElementId).WattsFactor,
        NeighboursChanged = _neighboursChanged,
    };

    private static void Share(
        Power usable, ImmutableArray<PsePortMachine> ports, List<PowerRequest> requests, Dictionary<int, Power> draws)
    {
        var fed = PowerSharing.Fed(usable, requests);
        foreach (var port in ports)
        {
            if (draws.TryGetValue(port.Shape.Ref.Port, out var draw))
            {
                port.Answer(fed.Contains(port.Shape.Ref.Port), draw);
            }
        }
    }

    private Power BudgetOf(PseGroupShape group, FaultState faults) => SupplyPower.BudgetWith(
        group.Budget, group.Supplies, supply => !faults.LostSupplies.Contains(new SupplyRef(Shape.ElementId, group.Number, supply.Id)), group.OwnDraw);

    private Power UsableOf(PseGroupShape group, FaultState faults) => BudgetOf(group, faults) - group.GuardBand;

    private void ForgetCountersAfterRestart(FaultState faults)
    {
        var restarts = faults.Restarts.TryGetValue(Shape.ElementId, out var restart) ? restart.Count : 0;
        if (restarts != _restartsSeen)
        {
            _restartsSeen = restarts;
            SetCounters(0);
        }

        // Set by script: near their end, so that they wrap.
        var setting = faults.AtAgent(Shape.ElementId).CountersAt;
        if (setting.Times != _settingsSeen)
        {
            _settingsSeen = setting.Times;
            SetCounters(setting.Value);
        }
    }

    private void SetCounters(uint value)
    {
        foreach (var port in _ports.Values)
        {
            port.SetCounters(value);
        }
    }

    private void SeeNeighbours(FaultState faults, TimeSpan now)
    {
        var seen = default(HashCode);
        seen.Add(faults.Occupants);
        foreach (var port in _ports.Values)
        {
            seen.Add(port.IsDelivering);
        }

        if (seen.ToHashCode() is var hash && hash != _neighboursSeen)
        {
            (_neighboursSeen, _neighboursChanged) = (hash, now);
        }
    }

    private static PortLoad LoadAt(PsePortRef port, PortFault own, FaultState faults, Func<PsePortRef, PortLoad> loadOf, TimeSpan now) =>
        own.Flaps is { } flaps && flaps.IsFirstHalfAt(now) ? PortLoad.Nothing
        : faults.Strangers.TryGetValue(port, out var stranger) ? new PortLoad(true, stranger.DrawAtPse, stranger.RequestedClass)
        : loadOf(port);
}
