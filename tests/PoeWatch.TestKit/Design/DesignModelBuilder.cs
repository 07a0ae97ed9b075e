using System.Collections.Frozen;
using System.Collections.Immutable;
using PoeWatch.Domain.Conditions;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.Poe;
using PoeWatch.Domain.Quantities;
using PoeWatch.Domain.Readings;

namespace PoeWatch.TestKit.Design;

/// <summary>
/// Writes a small <see cref="DesignModel"/> in code: elements by id, cables by their ends ("quay-west:1/3" or "ext-1:2" to an element's id).
/// Runs, poles and look-ups are put together by <see cref="Build"/>. It checks nothing: a test that wants a faulty design can have one.
/// Not thread safe.
/// </summary>
public sealed class DesignModelBuilder
{
    private readonly Dictionary<string, Pole> _poles = [];
    private readonly Dictionary<string, PseSwitch> _switches = [];
    private readonly Dictionary<PsePortRef, PsePort> _ports = [];
    private readonly Dictionary<string, Ups> _ups = [];
    private readonly Dictionary<string, Injector> _injectors = [];
    private readonly Dictionary<string, Extender> _extenders = [];
    private readonly Dictionary<string, PassThroughSwitch> _passThroughs = [];
    private readonly Dictionary<string, DeviceType> _types = [];
    private readonly Dictionary<string, PoweredDevice> _devices = [];
    private readonly List<CableSegment> _segments = [];
    private readonly List<LoadCase> _loadCases = [];
    private readonly List<PortSchedule> _schedules = [];
    private readonly List<PlannedWork> _maintenance = [];
    private string _timeZoneId = "UTC";
    private Coordinates? _coordinates;
    private ConditionPlan _conditions = ConditionPlan.Nothing;
    private string _hash = "test-design";
    private HeadroomPolicy _policy = Floors(5, 2);
    private DrawColumn? _drawColumn;

    /// <summary>A policy with the same absolute floors at every place and no relative ones.</summary>
    public static HeadroomPolicy Floors(double earlyWatts, double lateWatts)
    {
        var levels = new HeadroomLevels(
            new HeadroomFloor(Power.FromWatts(earlyWatts), default), new HeadroomFloor(Power.FromWatts(lateWatts), default));
        return new HeadroomPolicy(levels, levels, levels, levels);
    }

    /// <summary>An agent that is never asked in unit tests; only its poll period matters to them.</summary>
    public static SnmpAgent Agent(TimeSpan? pollPeriod = null) =>
        new("127.0.0.1", 161, "test", pollPeriod ?? TimeSpan.FromSeconds(60), null);

    public DesignModelBuilder InZone(string ianaId)
    {
        _timeZoneId = ianaId;
        return this;
    }

    public DesignModelBuilder Hash(string hash)
    {
        _hash = hash;
        return this;
    }

    public DesignModelBuilder Policy(HeadroomPolicy policy)
    {
        _policy = policy;
        return this;
    }

    /// <summary>Every agent of the design measures watts in this column; none does by default.</summary>
    public DesignModelBuilder Measuring(DrawColumn column)
    {
        _drawColumn = column;
        return this;
    }

    /// <summary>Poles need not be named: an element that names one brings it along.</summary>
    public DesignModelBuilder Pole(string id, string? name = null)
    {
        _poles[id] = new Pole(id, name ?? id, null);
        return this;
    }

    /// <summary>A managed switch with one group.</summary>
    public DesignModelBuilder Switch(
        string id,
        double budgetWatts = 720,
        double guardBandWatts = 0,
        string? uplinkTo = null,
        TimeSpan? pollPeriod = null,
        AllocationPolicy allocation = AllocationPolicy.ByDraw,
        params Supply[] supplies)
    {
        var group = new PseGroup(1, Power.FromWatts(budgetWatts), Power.FromWatts(guardBandWatts), allocation, [.. supplies]);
        Uplink? uplink = uplinkTo is null ? null : new Uplink(uplinkTo, "fibre", Length.FromMeters(2000));
        _switches[id] = new PseSwitch(
            id, id, Agent(pollPeriod), null, uplink, ImmutableSortedDictionary<int, PseGroup>.Empty.Add(1, group), ImmutableSortedDictionary<PsePortRef, PsePort>.Empty);
        return this;
    }

    /// <summary>Changes group 1 of a switch that is there already: redundancy, own draw.</summary>
    public DesignModelBuilder Group(string switchId, Func<PseGroup, PseGroup> change)
    {
        var pse = _switches[switchId];
        _switches[switchId] = pse with { Groups = pse.Groups.SetItem(1, change(pse.Groups[1])) };
        return this;
    }

    public DesignModelBuilder Ups(Ups ups)
    {
        _ups[ups.Id] = ups;
        return this;
    }

    public DesignModelBuilder Port(
        string port,
        double limitWatts = 30,
        PoeType type = PoeType.Type2,
        PoeClass grantable = PoeClass.Class4,
        PlannedUpgrade? upgrade = null,
        Criticality criticality = Criticality.Low,
        int? vlan = null)
    {
        var at = Ref(port);
        _ports[at] = new PsePort(at, Power.FromWatts(limitWatts), type, grantable, criticality, upgrade) { Vlan = vlan };
        return this;
    }

    /// <summary>An injector; give <paramref name="managed"/> for one with an agent of its own, whose port is then <c>id:1/1</c>.</summary>
    public DesignModelBuilder Injector(string id, string? dataSide = null, double ratingWatts = 95, bool managed = false, PoeType type = PoeType.Type4)
    {
        _injectors[id] = new Injector(
            id, id, Power.FromWatts(ratingWatts), Voltage.FromVolts(54), type, dataSide is null ? null : Ref(dataSide),
            managed ? Agent() : null, managed ? new PsePortRef(id, 1, 1) : null);
        return this;
    }

    public DesignModelBuilder Extender(
        string id, string? pole = null, double inputLimitWatts = 90, double ownDrawWatts = 2, double outputLimitWatts = 30)
    {
        _extenders[id] = new Extender(
            id, id, Named(pole), Power.FromWatts(inputLimitWatts), Power.FromWatts(ownDrawWatts), 2, Power.FromWatts(outputLimitWatts));
        return this;
    }

    public DesignModelBuilder PassThrough(
        string id, string? pole = null, double inputLimitWatts = 71, double ownDrawWatts = 6, double totalLimitWatts = 55, bool managed = false,
        double? outputVolts = 54, double efficiency = 0.92)
    {
        _passThroughs[id] = new PassThroughSwitch(
            id, id, Named(pole), Power.FromWatts(inputLimitWatts), Power.FromWatts(ownDrawWatts), Ratio.FromFraction(efficiency),
            outputVolts is { } volts ? Voltage.FromVolts(volts) : null, 4, Power.FromWatts(30), Power.FromWatts(totalLimitWatts), managed ? Agent() : null);
        return this;
    }

    public DesignModelBuilder DeviceType(
        string id, double demandWatts, PoeClass requested = PoeClass.Class4, params (string LoadCaseId, double Watts)[] byLoadCase)
    {
        _types[id] = new DeviceType(
            id, id, requested, Power.FromWatts(demandWatts), byLoadCase.ToImmutableDictionary(d => d.LoadCaseId, d => Power.FromWatts(d.Watts)));
        return this;
    }

    /// <summary>A type whose demand follows conditions.</summary>
    public DesignModelBuilder DeviceType(string id, PhysicalDemand physical, PoeClass requested = PoeClass.Class4)
    {
        _types[id] = new DeviceType(id, id, requested, physical.Typical, ImmutableDictionary<string, Power>.Empty) { Physical = physical };
        return this;
    }

    public DesignModelBuilder Device(
        string id, string typeId, string? pole = null, Criticality criticality = Criticality.Low, string? pagingGroup = null, string? lldpName = null)
    {
        _devices[id] = new PoweredDevice(id, id, typeId, Named(pole), criticality) { PagingGroup = pagingGroup, LldpName = lldpName };
        return this;
    }

    /// <summary>A cable from an output to an element. Put the ends in before <see cref="Build"/>, in any order.</summary>
    public DesignModelBuilder Cable(string from, string to, double meters = 50, int awg = 23, int pairs = 4)
    {
        var start = PsePortRef.TryParse(from, out var port) ? new Termination(port.PseId, port.Group, port.Port) : new Termination(from, 1, 1);
        _segments.Add(new CableSegment(
            $"{from}-{to}", start, to, Length.FromMeters(meters), awg, pairs, null, ConductorMaterial.Copper, null, Temperature.FromCelsius(20)));
        return this;
    }

    public DesignModelBuilder LoadCase(string id, DailyWindow? window = null, params int[] months)
    {
        _loadCases.Add(new LoadCase(id, id, window, [.. months]));
        return this;
    }

    public DesignModelBuilder LoadCase(LoadCase loadCase)
    {
        _loadCases.Add(loadCase);
        return this;
    }

    public DesignModelBuilder Maintenance(PlannedWork work)
    {
        _maintenance.Add(work);
        return this;
    }

    /// <summary>How conditions come to be known, and where the site is.</summary>
    public DesignModelBuilder Conditions(ConditionPlan plan, Coordinates? coordinates = null)
    {
        (_conditions, _coordinates) = (plan, coordinates);
        return this;
    }

    public DesignModelBuilder Schedule(string id, DailyWindow off, params string[] ports)
    {
        _schedules.Add(new PortSchedule(id, [.. ports.Select(Ref)], off));
        return this;
    }

    public DesignModel Build()
    {
        var runs = DesignModelRuns.From(_segments, _ports, _injectors, _extenders, _passThroughs, _devices, _types);
        return new DesignModel
        {
            Hash = _hash,
            Site = new Site("Skerry Haven", _timeZoneId, _coordinates),
            Conditions = _conditions,
            Poles = _poles.ToFrozenDictionary(),
            Switches = _switches.ToFrozenDictionary(s => s.Key, s => s.Value with { Agent = Metered(s.Value.Agent)!, Ports = PortsOf(s.Key) }),
            UpsUnits = _ups.ToImmutableSortedDictionary(),
            Injectors = _injectors.ToFrozenDictionary(i => i.Key, i => i.Value with { Agent = Metered(i.Value.Agent) }),
            Extenders = _extenders.ToFrozenDictionary(),
            PassThroughSwitches = _passThroughs.ToFrozenDictionary(p => p.Key, p => p.Value with { Agent = Metered(p.Value.Agent) }),
            DeviceTypes = _types.ToFrozenDictionary(),
            Devices = _devices.ToFrozenDictionary(),
            CableRuns = runs.ToImmutableSortedDictionary(r => r.Id, r => r, StringComparer.Ordinal),
            LoadCases = [.. _loadCases],
            Schedules = [.. _schedules],
            Maintenance = [.. _maintenance],
            Headroom = _policy,
            Agents = Agents().ToFrozenDictionary(a => a.Key, a => Metered(a.Value)!),
            Warnings = [],
            CableRunsByPole = _poles.Keys
                .Select(pole => (pole, served: runs.Where(r => r.PoleIds.Contains(pole)).ToImmutableArray()))
                .Where(p => !p.served.IsEmpty)
                .ToFrozenDictionary(p => p.pole, p => p.served),
            CableRunByPort = runs.Where(r => r.Source.Port is not null).ToFrozenDictionary(r => r.Source.Port!.Value),
            DataSidePorts = _injectors.Values.Where(i => i.DataSide is not null).ToFrozenDictionary(i => i.DataSide!.Value, i => i.Id),
        };
    }

    private static PsePortRef Ref(string port) =>
        PsePortRef.TryParse(port, out var parsed) ? parsed : throw new ArgumentException($"'{port}' is not 'id:group/port'.", nameof(port));

    private string? Named(string? pole)
    {
        if (pole is not null && !_poles.ContainsKey(pole))
        {
            Pole(pole);
        }

        return pole;
    }

    private SnmpAgent? Metered(SnmpAgent? agent) =>
        agent is null || _drawColumn is null ? agent : agent with { DrawColumn = _drawColumn };

    private ImmutableSortedDictionary<PsePortRef, PsePort> PortsOf(string switchId) =>
        _ports.Where(p => p.Key.PseId == switchId).ToImmutableSortedDictionary();

    private IEnumerable<KeyValuePair<string, SnmpAgent>> Agents() =>
        _switches.Values.Select(s => KeyValuePair.Create(s.Id, s.Agent))
            .Concat(_injectors.Values.Where(i => i.Agent is not null).Select(i => KeyValuePair.Create(i.Id, i.Agent!)))
            .Concat(_passThroughs.Values.Where(p => p.Agent is not null).Select(p => KeyValuePair.Create(p.Id, p.Agent!)));
}
