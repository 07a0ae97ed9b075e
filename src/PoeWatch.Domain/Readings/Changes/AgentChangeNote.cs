namespace PoeWatch.Domain.Readings.Changes;

/// <summary>A change of an agent as the history has it: who, when, what. Immutable.</summary>
/// <param name="PseId">Element of the design whose agent it is.</param>
/// <param name="At">Time of the poll that showed it, UTC; it happened between that and the poll before.</param>
public sealed record AgentChangeNote(string PseId, DateTimeOffset At, AgentChangeKind Kind, string Text)
{
    /// <summary>Those that a reading carries.</summary>
    public static IEnumerable<AgentChangeNote> Of(SwitchReading reading)
    {
        ArgumentNullException.ThrowIfNull(reading);
        return reading.Changes.Select(change => new AgentChangeNote(reading.PseId, reading.At, change.Kind, change.Text));
    }
}
