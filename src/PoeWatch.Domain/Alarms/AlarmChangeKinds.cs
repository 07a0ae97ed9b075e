namespace PoeWatch.Domain.Alarms;

/// <summary>The written names of what can happen to an alarm; operator states carry the words of RFC 8632.</summary>
public static class AlarmChangeKinds
{
    public const string Raised = "raised";

    public const string SeverityChanged = "severity-changed";

    public const string Cleared = "cleared";

    /// <summary>A maintenance window holds it: it was raised inside, or stood when the window began. Nobody is called; the end of the window raises what still holds.</summary>
    public const string Suppressed = "suppressed";

    /// <summary>A person took it with a note.</summary>
    public const string Note = "note";

    /// <summary>A person accepted the deviation until a date: in the words of RFC 8632 it is shelved.</summary>
    public const string Accepted = "accepted";

    /// <summary>It was cleared for longer than the policy keeps and left the list.</summary>
    public const string Purged = "purged";

    /// <summary>"none", "ack", "closed", "shelved" or "un-shelved".</summary>
    public static string Of(OperatorState state) => state switch
    {
        OperatorState.None => "none",
        OperatorState.Ack => "ack",
        OperatorState.Closed => "closed",
        OperatorState.Shelved => "shelved",
        OperatorState.UnShelved => "un-shelved",
        _ => throw new ArgumentOutOfRangeException(nameof(state), state, "Not an operator state of RFC 8632."),
    };
}
