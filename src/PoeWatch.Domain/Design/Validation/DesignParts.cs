using PoeWatch.Domain.Conditions;
using PoeWatch.Domain.Design.Config;

namespace PoeWatch.Domain.Design.Validation;

/// <summary>What an id of the site stands for.</summary>
internal enum ElementKind
{
    Pole,
    Switch,
    Injector,
    Extender,
    PassThroughSwitch,
    Device,
    Cable,
    Ups,
}

/// <summary>The design while it is being built: elements by id (with stand-ins where a value was refused) and the problems so far.</summary>
internal sealed class DesignParts(DesignConfig config)
{
    public DesignConfig Config => config;

    public ProblemList Problems { get; } = new();

    public IdRegistry<ElementKind> Elements { get; } = new("element");

    public Site Site { get; set; } = new("", "UTC", null);

    public HeadroomPolicy Headroom { get; set; } = HeadroomDefaults.Policy;

    public Dictionary<string, Pole> Poles { get; } = new(StringComparer.Ordinal);

    public Dictionary<string, PseSwitch> Switches { get; } = new(StringComparer.Ordinal);

    public Dictionary<string, Ups> UpsUnits { get; } = new(StringComparer.Ordinal);

    public Dictionary<string, Injector> Injectors { get; } = new(StringComparer.Ordinal);

    public Dictionary<string, Extender> Extenders { get; } = new(StringComparer.Ordinal);

    public Dictionary<string, PassThroughSwitch> PassThroughSwitches { get; } = new(StringComparer.Ordinal);

    public Dictionary<string, DeviceType> DeviceTypes { get; } = new(StringComparer.Ordinal);

    public Dictionary<string, PoweredDevice> Devices { get; } = new(StringComparer.Ordinal);

    public Dictionary<string, SnmpAgent> Agents { get; } = new(StringComparer.Ordinal);

    public List<LoadCase> LoadCases { get; } = [];

    public ConditionPlan Conditions { get; set; } = ConditionPlan.Nothing;

    public List<PortSchedule> Schedules { get; } = [];

    public List<PlannedWork> Maintenance { get; } = [];

    /// <summary>Segments by the element that they feed.</summary>
    public Dictionary<string, CableSegment> SegmentByFed { get; } = new(StringComparer.Ordinal);

    /// <summary>Each segment as it was written, by segment id.</summary>
    public Dictionary<string, CableConfig> WrittenCables { get; } = new(StringComparer.Ordinal);

    public List<CableRun> Runs { get; } = [];
}

/// <summary>Ids of one kind of thing; remembers where each was first written.</summary>
internal sealed class IdRegistry<TKind>(string noun)
    where TKind : struct
{
    private readonly Dictionary<string, (TKind Kind, WrittenAt At)> _known = new(StringComparer.Ordinal);

    public IEnumerable<string> Ids => _known.Keys;

    public IEnumerable<string> IdsOf(TKind kind) => _known.Where(e => e.Value.Kind.Equals(kind)).Select(e => e.Key);

    public TKind? KindOf(string id) => _known.TryGetValue(id, out var known) ? known.Kind : null;

    public WrittenAt PlaceOf(string id) => _known[id].At;

    /// <summary>Takes an id for the whole design. False where it is missing, malformed or taken, which is then reported.</summary>
    public bool Take(ProblemList problems, Written<string>? id, TKind kind, WrittenAt at)
    {
        if (id is null)
        {
            problems.Error("missing", at, "", "", $"'id' of this {noun} is missing.", "Write 'id' with a short name that nothing else in the site has.");
            return false;
        }

        if (!IsWellFormed(id.Value))
        {
            problems.Error(
                "malformed-id", id, id.Value, $"'{id.Value}' cannot be an id.",
                "Write 1 to 64 letters, digits, dots, hyphens or underscores, starting with a letter or digit.");
            return false;
        }

        if (_known.TryGetValue(id.Value, out var first))
        {
            problems.Error(
                "duplicate-id", id, id.Value, $"The id '{id.Value}' is taken already at {first.At}.",
                "Give each element of the site an id of its own.");
            return false;
        }

        _known.Add(id.Value, (kind, id.At));
        return true;
    }

    private static bool IsWellFormed(string id) =>
        id.Length is >= 1 and <= 64
        && char.IsAsciiLetterOrDigit(id[0])
        && id.All(c => char.IsAsciiLetterOrDigit(c) || c is '.' or '-' or '_');
}
