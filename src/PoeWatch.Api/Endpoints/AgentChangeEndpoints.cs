using Microsoft.AspNetCore.Http.HttpResults;
using PoeWatch.Api.Contracts;
using PoeWatch.Api.Problems;
using PoeWatch.Monitoring.Abstractions;

namespace PoeWatch.Api.Endpoints;

/// <summary>What happened to agents: restarts, replaced switches, renumbered stacks.</summary>
internal static class AgentChangeEndpoints
{
    private static readonly TimeSpan ChangesDefault = TimeSpan.FromDays(7);

    public static void Map(RouteGroupBuilder api) =>
        api.MapGet("/agent-changes", ChangesAsync)
            .WithSummary("Restarts, replacements and renumberings of agents in [from, to), of one element where given; the last seven days by default").WithTags("site");

    private static async Task<Results<Ok<Page<AgentChangeContract>>, ProblemHttpResult>> ChangesAsync(
        ISiteView site, IAgentChangeStore store, TimeProvider time, Moment? from, Moment? to, string? pse, int? limit, string? cursor, CancellationToken cancellationToken)
    {
        var until = to?.Utc ?? time.GetUtcNow().AddSeconds(1);
        var since = from?.Utc ?? until - ChangesDefault;
        if (since >= until)
        {
            return Problem.BadValue("from", $"{since:O}", "The period is empty: from must be before to.", "Give an earlier from or a later to.");
        }

        // Of an element that only an earlier design had the changes are still there.
        var changes = await store.ReadAgentChangesAsync(since, until, pse, cancellationToken);
        var (slice, problem) = Paging.Cut(
            $"agent-changes {pse}", changes.Select((note, i) => (note, i)), c => $"{c.note.At.UtcTicks:D20} {c.note.PseId} {c.i:D9}", limit, cursor);
        return slice is null
            ? problem!
            : TypedResults.Ok(Page<AgentChangeContract>.From(
                site.Current,
                new Slice<AgentChangeContract>([.. slice.Items.Select(c => AgentChangeContract.From(c.note))], slice.TotalCount, slice.NextCursor)));
    }
}
