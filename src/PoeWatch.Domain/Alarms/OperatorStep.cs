namespace PoeWatch.Domain.Alarms;

/// <summary>What came of a person's word on an alarm.</summary>
public enum OperatorOutcome
{
    Unknown = 0,
    Done = 1,
    NoSuchAlarm = 2,

    /// <summary>A shelved alarm takes un-shelving only, and no other alarm can be un-shelved.</summary>
    NotAllowed = 3,
}

/// <summary>Result of a person's word on an alarm.</summary>
/// <param name="Book">The book from now on; the same one where nothing was done.</param>
/// <param name="Alarm">The alarm as it now is; null where there is none.</param>
/// <param name="Change">What happened; null where nothing was done.</param>
public sealed record OperatorStep(OperatorOutcome Outcome, AlarmBook Book, Alarm? Alarm, AlarmChange? Change);
