using Microsoft.AspNetCore.Http.HttpResults;
using PoeWatch.Api.Access;
using PoeWatch.Api.Contracts;
using PoeWatch.Api.Problems;
using PoeWatch.Domain.Alarms;
using PoeWatch.Monitoring.Abstractions;

namespace PoeWatch.Api.Endpoints;

/// <summary>Alarms, what operators do with them, and their past.</summary>
internal static class AlarmEndpoints
{
    private static readonly TimeSpan ChangesDefault = TimeSpan.FromDays(7);

    public static void Map(RouteGroupBuilder api)
    {
        api.MapGet("/alarms", Alarms).WithSummary("Alarms, the most severe first; filter by cleared, severity and resource").WithTags("alarms");
        api.MapGet("/alarms/{id}", One).WithSummary("One alarm").WithTags("alarms").ProducesProblem(404);
        api.MapPost("/alarms/{id}/operator-state", SetOperatorStateAsync)
            .WithSummary("Acknowledge, close, shelve or un-shelve; who does it is taken from the key")
            .WithTags("alarms").WithMetadata(new AccessNeed(ApiRole.Operator)).ProducesProblem(404).ProducesProblem(409).ProducesProblem(503);
        api.MapGet("/alarm-changes", ChangesAsync).WithSummary("What became of alarms in [from, to); the last seven days by default").WithTags("alarms");
    }

    private static Results<Ok<Page<AlarmContract>>, ProblemHttpResult> Alarms(
        ISiteView site, TimeProvider time, bool? cleared, string? severity, string? resource, int? limit, string? cursor)
    {
        AlarmSeverity wanted = default;
        if (severity is not null && !Names.TrySeverity(severity, out wanted))
        {
            return Problem.BadValue("severity", severity, "There is no such severity.", "Give warning, minor, major or critical.");
        }

        var view = site.Current;
        var now = time.GetUtcNow();
        var found = view.Alarms
            .Where(a => cleared is null || a.IsCleared == cleared)
            .Where(a => severity is null || a.Severity == wanted)
            .Where(a => resource is null || a.Key.Resource == resource);
        var (slice, problem) = Paging.Cut($"alarms {cleared} {severity} {resource}", found.Select(a => (Alarm: a, Contract: AlarmContract.From(a, view.Design, now))), Order, limit, cursor);
        return slice is null
            ? problem!
            : TypedResults.Ok(Page<AlarmContract>.From(
                view, new Slice<AlarmContract>([.. slice.Items.Select(i => i.Contract)], slice.TotalCount, slice.NextCursor)));
    }

    /// <summary>Active before cleared, severe before mild, new before old.</summary>
    private static string Order((Alarm Alarm, AlarmContract Contract) item) =>
        $"{(item.Alarm.IsCleared ? 1 : 0)}{9 - (int)item.Alarm.Severity}{Paging.Sortable(-item.Alarm.RaisedAt.UtcTicks)} {item.Contract.Id}";

    private static Results<Ok<AlarmContract>, ProblemHttpResult> One(ISiteView site, TimeProvider time, string id) =>
        Find(site.Current, id) is { } alarm ? TypedResults.Ok(AlarmContract.From(alarm, site.Current.Design, time.GetUtcNow())) : NoSuchAlarm(id);

    private static async Task<Results<Ok<AlarmContract>, ProblemHttpResult>> SetOperatorStateAsync(
        HttpContext context, ISiteView site, IAlarmDesk desk, TimeProvider time, string id, OperatorStateRequest request, CancellationToken cancellationToken)
    {
        if (!Names.TryOperatorState(request.State, out var state))
        {
            return Problem.BadValue("state", request.State, "There is no such operator state.", "Give ack, closed, shelved, un-shelved or none.");
        }

        if (AlarmWords.TextFault("text", request.Text, isNeeded: false) is { } fault)
        {
            return fault;
        }

        AlarmShelf? shelf = null;
        if (request.Until is not null)
        {
            if (state != OperatorState.Shelved)
            {
                return Problem.BadValue("until", request.Until, "Only a shelf has an end.", "Leave 'until' out, or shelve.");
            }

            var (end, wrong) = AlarmWords.End("until", request.Until, time.GetUtcNow(), AlarmShelf.ShelfMax);
            if (wrong is not null)
            {
                return wrong;
            }

            shelf = new AlarmShelf(end, null);
        }

        if (Find(site.Current, id) is not { } alarm)
        {
            return NoSuchAlarm(id);
        }

        var outcome = await desk.SetOperatorStateAsync(alarm.Key, state, AccessGate.CallerOf(context).Name, request.Text ?? "", shelf, cancellationToken);
        return Answer(outcome, site, alarm, id, request.State, time);
    }

    /// <summary>What came of an action, with the alarm as it now is.</summary>
    internal static Results<Ok<AlarmContract>, ProblemHttpResult> Answer(
        AlarmActionOutcome outcome, ISiteView site, Alarm alarm, string id, string? wanted, TimeProvider time) => outcome switch
        {
            AlarmActionOutcome.Done => TypedResults.Ok(AlarmContract.From(Find(site.Current, id) ?? alarm, site.Current.Design, time.GetUtcNow())),
            AlarmActionOutcome.NoSuchAlarm => NoSuchAlarm(id),
            AlarmActionOutcome.NotKept => Problem.Of(
                ProblemTypes.StoreUnavailable, "The store could not keep it, so it was not done.", "store", null, "Try again; health tells how it stands."),
            _ => Problem.Of(
                ProblemTypes.NotAllowedNow,
                $"The alarm's operator state '{Names.Of(alarm.OperatorState)}' cannot become '{wanted}' now.",
                "state",
                wanted,
                "Read the alarm again and choose another state."),
        };

    private static async Task<Results<Ok<Page<AlarmChangeContract>>, ProblemHttpResult>> ChangesAsync(
        ISiteView site, IAlarmStore store, TimeProvider time, Moment? from, Moment? to, string? id, int? limit, string? cursor, CancellationToken cancellationToken)
    {
        var until = to?.Utc ?? time.GetUtcNow();
        var since = from?.Utc ?? until - ChangesDefault;
        if (since >= until)
        {
            return Problem.BadValue("from", $"{since:O}", "The period is empty: from must be before to.", "Give an earlier from or a later to.");
        }

        AlarmKey? key = null;
        if (id is not null && (key = Find(site.Current, id)?.Key) is null)
        {
            return NoSuchAlarm(id);
        }

        var changes = await store.ReadAlarmChangesAsync(since, until, key, cancellationToken);
        var (slice, problem) = Paging.Cut(
            "alarm-changes", changes.Select((change, i) => (change, i)), c => $"{c.change.At.UtcTicks:D20} {c.change.Key} {c.i:D9}", limit, cursor);
        return slice is null
            ? problem!
            : TypedResults.Ok(Page<AlarmChangeContract>.From(
                site.Current,
                new Slice<AlarmChangeContract>([.. slice.Items.Select(c => AlarmChangeContract.From(c.change))], slice.TotalCount, slice.NextCursor)));
    }

    internal static Alarm? Find(SiteView view, string id) => view.Alarms.FirstOrDefault(a => AlarmContract.IdOf(a.Key) == id);

    internal static ProblemHttpResult NoSuchAlarm(string id) =>
        Problem.Of(ProblemTypes.NotFound, $"There is no alarm '{id}'.", "id", id, "See /api/v1/alarms; cleared alarms go when they are purged.");
}
