using System.Collections.Immutable;
using PoeWatch.Domain.DrawSheets;
using PoeWatch.Monitoring.Polling;
using PoeWatch.Snmp;

namespace PoeWatch.Monitoring.Recordings;

/// <summary>Asks one agent for everything that the service reads, subtree by subtree, and keeps what it answered. Only reads. Thread safe.</summary>
public sealed class AgentRecorder(SnmpClient client, SheetBook sheets, TimeProvider time)
{
    private readonly BulkWalker _walker = new(client, time);

    /// <param name="also">Subtrees beside those of <see cref="RecordingPlan"/>.</param>
    /// <param name="within">All of it ends after so long; what was answered until then is kept.</param>
    /// <returns>The recording, or null with the answer that says why there is none.</returns>
    public async Task<(AgentRecording? Recording, SnmpResult Answer)> RecordAsync(
        SnmpTarget agent, IEnumerable<Oid> also, TimeSpan within, CancellationToken cancellationToken)
    {
        ArgumentNullException.ThrowIfNull(agent);
        SnmpResult system = await client.GetAsync(agent, [PoeOids.SystemId], cancellationToken).ConfigureAwait(false);
        if (!system.IsAnswered)
        {
            return (null, system);
        }

        var objectId = system.VarBinds is [var first, ..] && first.Value.TryGetOid(out Oid id) ? id.ToString() : string.Empty;
        ImmutableArray<Oid> plan = RecordingPlan.Of(objectId, sheets, also);
        using var limit = new CancellationTokenSource(within, time);
        using var either = CancellationTokenSource.CreateLinkedTokenSource(limit.Token, cancellationToken);
        var found = new RecordedCells(agent.Credentials);
        var state = new WalkState();
        foreach (Oid subtree in plan)
        {
            cancellationToken.ThrowIfCancellationRequested();
            if (limit.IsCancellationRequested || found.Ending is not null)
            {
                found.Miss(subtree, found.Ending ?? "the time was up before it was asked");
                continue;
            }

            var request = new WalkRequest([subtree], maxRequests: RecordingLimits.RequestsMax, maxCells: found.Room);
            using WalkResult walk = await _walker.WalkAsync(agent, request, state, either.Token).ConfigureAwait(false);
            cancellationToken.ThrowIfCancellationRequested();
            found.Take(subtree, walk);
        }

        return (found.Build(objectId), system);
    }
}
