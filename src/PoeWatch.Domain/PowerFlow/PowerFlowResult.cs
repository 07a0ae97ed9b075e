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
    IReadOnlyDictionary<string, FlowPoint> Points,
    ImmutableArray<LimitMargin> Limits)
{
    /// <summary>Limits that the demands break.</summary>
    public IEnumerable<LimitMargin> Broken => Limits.Where(limit => limit.IsBroken && !limit.IsAdvice);

    /// <summary>Limits beyond which people are warned; the run works all the same.</summary>
    public IEnumerable<LimitMargin> Advice => Limits.Where(limit => limit.IsBroken && limit.IsAdvice);
}

/// <summary>The largest further constant-power load at one place before the first limit breaks.</summary>
/// <param name="AtElement">Element where it would hang.</param>
/// <param name="Watts">At the input of the further load; negative or zero where the demands break a limit already.</param>
/// <param name="Binding">The limit that breaks first.</param>
public sealed record ExtraWatts(string AtElement, Power Watts, LimitMargin Binding);
