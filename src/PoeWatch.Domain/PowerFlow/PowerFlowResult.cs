using System.Collections.Frozen;
using System.Collections.Immutable;
using PoeWatch.Domain.Quantities;

namespace PoeWatch.Domain.PowerFlow;

/// <summary>Which voltages and resistances a solution assumes.</summary>
public enum OperatingMode
{
    Unknown = 0,

    /// <summary>What the standard guarantees: lowest PSE voltage of the type, worst channel resistance.</summary>
    Guaranteed = 1,

    /// <summary>What is to be expected: nominal voltage, designed or measured resistance.</summary>
    Expected = 2,
}

/// <summary>How a solution ended.</summary>
public enum FlowOutcome
{
    Unknown = 0,
    Solved = 1,

    /// <summary>No physical solution: the loads ask for more than the copper can carry. <see cref="PowerFlowResult.Reason"/> says where.</summary>
    CannotBeFed = 2,
}

/// <summary>State at the input of one element of a run.</summary>
/// <param name="Voltage">At the element's input.</param>
/// <param name="Current">Into the element, all pairs together.</param>
/// <param name="DrawAtInput">Watts into the element, with all that hangs below it.</param>
/// <param name="SegmentLoss">Heat in the segment that feeds it.</param>
public readonly record struct FlowPoint(Voltage Voltage, Current Current, Power DrawAtInput, Power SegmentLoss);

/// <summary>Kinds of limit that one more watt can break.</summary>
public enum LimitKind
{
    Unknown = 0,
    PsePort = 1,
    InjectorRating = 2,
    ExtenderInput = 3,
    ExtenderOutput = 4,
    PassThroughInput = 5,
    PassThroughOutput = 6,
    PassThroughTotal = 7,
    PdClass = 8,
    PdVoltage = 9,
    PairCurrent = 10,
    VoltageCollapse = 11,
    GroupBudget = 12,
    Supply = 13,
    SegmentLength = 14,
    GrantableClass = 15,
}

/// <summary>One limit and how far the solution is from it.</summary>
/// <param name="ElementId">Where the limit is: a PSE port, an injector, an element or a segment.</param>
/// <param name="LimitValue">The limit in <paramref name="Unit"/>.</param>
/// <param name="Value">Where the solution stands, in <paramref name="Unit"/>.</param>
/// <param name="Unit">"W", "V", "A", "m" or "class".</param>
/// <param name="Source">Where the limit comes from: a table of the standard, the type plate in the design.</param>
public sealed record LimitMargin(LimitKind Kind, string ElementId, double LimitValue, double Value, string Unit, string Source)
{
    /// <summary>True where the solution breaks the limit.</summary>
    public required bool IsBroken { get; init; }

    /// <summary>For a technician: which limit, at which place, with its numbers.</summary>
    public required string Sentence { get; init; }
}

/// <summary>A run solved for one set of demands. Immutable.</summary>
/// <param name="Reason">Empty when solved; else where and why it cannot be fed.</param>
/// <param name="DrawAtPse">Watts out of the PSE; null when it cannot be fed.</param>
/// <param name="CableLoss">Heat in all segments.</param>
/// <param name="Points">State at each element's input.</param>
/// <param name="Limits">Every limit along the way.</param>
public sealed record PowerFlowResult(
    FlowOutcome Outcome,
    string Reason,
    Power? DrawAtPse,
    Power? CableLoss,
    FrozenDictionary<string, FlowPoint> Points,
    ImmutableArray<LimitMargin> Limits)
{
    /// <summary>Limits that the demands break.</summary>
    public IEnumerable<LimitMargin> Broken => Limits.Where(limit => limit.IsBroken);
}

/// <summary>The largest further constant-power load at one place before the first limit breaks.</summary>
/// <param name="AtElement">Element where it would hang.</param>
/// <param name="Watts">At the input of the further load; negative or zero where the demands break a limit already.</param>
/// <param name="Binding">The limit that breaks first.</param>
public sealed record ExtraWatts(string AtElement, Power Watts, LimitMargin Binding);
