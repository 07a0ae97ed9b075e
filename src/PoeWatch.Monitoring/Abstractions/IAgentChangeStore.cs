using PoeWatch.Domain.Readings.Changes;

namespace PoeWatch.Monitoring.Abstractions;

/// <summary>Restarts, replacements and renumberings of agents, for good. Implementations are thread safe.</summary>
public interface IAgentChangeStore
{
    /// <summary>Appends changes, all or none; synced when it returns. Repeating one that is there in every word changes nothing.</summary>
    Task SaveAgentChangesAsync(IReadOnlyList<AgentChangeNote> changes, CancellationToken cancellationToken);

    /// <summary>Changes in [from, to), oldest first; of one element where given.</summary>
    Task<IReadOnlyList<AgentChangeNote>> ReadAgentChangesAsync(DateTimeOffset from, DateTimeOffset to, string? pseId, CancellationToken cancellationToken);
}
