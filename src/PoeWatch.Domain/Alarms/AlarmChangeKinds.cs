namespace PoeWatch.Domain.Alarms;

/// <summary>The written names of what can happen to an alarm; operator states carry the words of RFC 8632.</summary>
public static class AlarmChangeKinds
{
    public const string Raised = "raised";

    public const string SeverityChanged = "severity-changed";

    public const string Cleared = "cleared";

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
