using PoeWatch.Domain.Readings;
using PoeWatch.Domain.Readings.Changes;

namespace PoeWatch.Api.Contracts;

/// <summary>What happened to an agent between two polls.</summary>
/// <param name="PseId">The element whose agent it is.</param>
/// <param name="At">Time of the poll that showed it, UTC.</param>
/// <param name="Kind">agent-restarted, restarted, replaced, renumbered or groups-changed.</param>
/// <param name="Text">What was seen.</param>
public sealed record AgentChangeContract(string PseId, DateTimeOffset At, string Kind, string Text)
{
    internal static AgentChangeContract From(AgentChangeNote note) => new(note.PseId, note.At, note.Kind.Name(), note.Text);
}
