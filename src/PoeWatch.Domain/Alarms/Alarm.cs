using System.Collections.Immutable;

namespace PoeWatch.Domain.Alarms;

/// <summary>Severity words and numbers of RFC 8632 (ietf-alarms). "cleared" is not a severity of an alarm here: see <see cref="Alarm.IsCleared"/>.</summary>
public enum AlarmSeverity
{
    Unknown = 0,
    Warning = 3,
    Minor = 4,
    Major = 5,
    Critical = 6,
}

/// <summary>Operator states of RFC 8632, with its numbers.</summary>
public enum OperatorState
{
    None = 1,
    Ack = 2,
    Closed = 3,
    Shelved = 4,
    UnShelved = 5,
}

/// <summary>RFC 8632: an alarm is a state of a resource and a type. However often it repeats, it is one alarm.</summary>
/// <param name="Resource">What it is about: <c>pole/quay-03</c>, <c>run/quay-west:1/3</c>, <c>port/quay-west:1/3</c>, <c>group/quay-west:1</c>, <c>switch/quay-west</c>, <c>ups/cabinet</c>, <c>site</c>.</param>
/// <param name="Type">Which kind, such as <c>headroom-low</c>.</param>
public readonly record struct AlarmKey(string Resource, string Type) : IComparable<AlarmKey>
{
    public override string ToString() => $"{Resource}/{Type}";

    public int CompareTo(AlarmKey other)
    {
        var byResource = string.CompareOrdinal(Resource, other.Resource);
        return byResource != 0 ? byResource : string.CompareOrdinal(Type, other.Type);
    }
}

/// <summary>One floor of an alarm that knows several severities.</summary>
/// <param name="Floor">The severity holds while the value is below, in the unit of the value.</param>
public readonly record struct AlarmLevel(AlarmSeverity Severity, double Floor);

/// <summary>
/// What a rule says of one key at one moment; the delays and the deadband are applied by the book, not by the rule. A rule with a number also
/// speaks while the value stands in the deadband above its floor, so that the book can hold an alarm there.
/// </summary>
/// <param name="Severity">Severity while it holds.</param>
/// <param name="Value">The number that is compared, in watts where it is one; for the deadband.</param>
/// <param name="Floor">What it is compared with; the condition holds while the value is below.</param>
/// <param name="Text">For the operator: what, where, the numbers with provenance, the limit.</param>
/// <param name="NextSteps">What to do, with the safety caution.</param>
public sealed record AlarmCondition(AlarmKey Key, AlarmSeverity Severity, double Value, double Floor, string Text, string NextSteps)
{
    /// <summary>Floors by severity; empty where <see cref="Severity"/> and <see cref="Floor"/> say all.</summary>
    public ImmutableArray<AlarmLevel> Levels { get; init; } = [];

    /// <summary>On-delay of this condition; null for that of <see cref="AlarmTimings"/>.</summary>
    public TimeSpan? OnDelay { get; init; }

    /// <summary>A condition without a number: it holds while a rule speaks of it.</summary>
    public static AlarmCondition Plain(AlarmKey key, AlarmSeverity severity, string text, string nextSteps) => new(key, severity, 0, 1, text, nextSteps);
}

/// <summary>One change in an alarm's life, kept for good.</summary>
/// <param name="Kind">One of <see cref="AlarmChangeKinds"/>: "raised", "severity-changed", "cleared", an operator state and so on.</param>
/// <param name="Who">Name of the operator; empty where the service itself.</param>
public sealed record AlarmChange(AlarmKey Key, DateTimeOffset At, string Kind, AlarmSeverity Severity, string Who, string Text)
{
    /// <summary>Why nobody is called for it: <c>shelved</c>, <c>accepted</c> or <c>maintenance ID</c>; empty where people are to hear of it.</summary>
    public string QuietBecause { get; init; } = "";
}

/// <summary>One alarm as the list shows it. Immutable; cleared alarms stay until purged.</summary>
/// <param name="IsCleared">Clearing (by the service) and closing (by a person) are independent.</param>
/// <param name="RaisedAt">Time of the last raise.</param>
/// <param name="ChangedAt">Time of the last change of state.</param>
public sealed record Alarm(
    AlarmKey Key,
    AlarmSeverity Severity,
    bool IsCleared,
    DateTimeOffset RaisedAt,
    DateTimeOffset ChangedAt,
    string Text,
    string NextSteps,
    OperatorState OperatorState,
    string OperatorName,
    string OperatorText)
{
    /// <summary>How long it is shelved or accepted; null where it is not.</summary>
    public AlarmShelf? Shelf { get; init; }

    /// <summary>Id of the maintenance window that suppresses it; empty where none does.</summary>
    public string MaintenanceId { get; init; } = "";

    /// <summary>Why nobody is called for it, as in <see cref="AlarmChange.QuietBecause"/>.</summary>
    public string QuietBecause =>
        OperatorState == OperatorState.Shelved ? Shelf is { IsAcceptance: true } ? "accepted" : "shelved"
        : MaintenanceId.Length > 0 ? $"maintenance {MaintenanceId}"
        : "";

    /// <summary>Active for more than 24 h (ISA-18.2).</summary>
    public bool IsStanding(DateTimeOffset now) => !IsCleared && now - RaisedAt > TimeSpan.FromHours(24);
}
