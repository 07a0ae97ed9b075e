using Microsoft.AspNetCore.Http.HttpResults;
using PoeWatch.Api.Access;
using PoeWatch.Api.Contracts;
using PoeWatch.Api.Problems;
using PoeWatch.Domain.Alarms;
using PoeWatch.Domain.Alarms.Maintenance;
using PoeWatch.Monitoring.Abstractions;

namespace PoeWatch.Api.Endpoints;

/// <summary>Accepting a deviation, notes, maintenance windows, and the list of alarm types.</summary>
internal static class AlarmLifeEndpoints
{
    public static void Map(RouteGroupBuilder api)
    {
        api.MapGet("/alarm-types", Types).WithSummary("Every alarm type with its meaning, likely causes and delays").WithTags("alarms");
        api.MapPost("/alarms/{id}/acceptance", AcceptAsync)
            .WithSummary("Accept a deviation until a date: the alarm is shelved until then, or until it grows more severe")
            .WithTags("alarms").WithMetadata(new AccessNeed(ApiRole.Operator)).ProducesProblem(404).ProducesProblem(409).ProducesProblem(503);
        api.MapPost("/alarms/{id}/notes", NoteAsync)
            .WithSummary("Add a note; it stands among the alarm's changes")
            .WithTags("alarms").WithMetadata(new AccessNeed(ApiRole.Operator)).ProducesProblem(404).ProducesProblem(503);
        api.MapGet("/maintenance", Windows).WithSummary("Maintenance windows announced, in force, or over for less than 30 days").WithTags("maintenance");
        api.MapPost("/maintenance", AnnounceAsync)
            .WithSummary("Announce work: alarms inside are recorded as suppressed; the end raises what still holds")
            .WithTags("maintenance").WithMetadata(new AccessNeed(ApiRole.Operator)).ProducesProblem(404).ProducesProblem(503);
        api.MapDelete("/maintenance/{window}", EndAsync)
            .WithSummary("End a window now, or take back one to come").WithTags("maintenance").WithMetadata(new AccessNeed(ApiRole.Operator)).ProducesProblem(404).ProducesProblem(503);
    }

    private static Ok<IReadOnlyList<AlarmTypeContract>> Types(AlarmTimings timings) =>
        TypedResults.Ok<IReadOnlyList<AlarmTypeContract>>([.. AlarmTypeTable.All.Select(type => AlarmTypeContract.From(type, timings.For(type.Name)))]);

    private static async Task<Results<Ok<AlarmContract>, ProblemHttpResult>> AcceptAsync(
        HttpContext context, ISiteView site, IAlarmDesk desk, TimeProvider time, string id, AcceptanceRequest request, CancellationToken cancellationToken)
    {
        if (AlarmWords.TextFault("reason", request.Reason, isNeeded: true) is { } fault)
        {
            return fault;
        }

        var (until, wrong) = AlarmWords.End("until", request.Until, time.GetUtcNow(), AlarmShelf.AcceptanceMax);
        if (wrong is not null)
        {
            return wrong;
        }

        if (AlarmEndpoints.Find(site.Current, id) is not { } alarm)
        {
            return AlarmEndpoints.NoSuchAlarm(id);
        }

        var outcome = await desk.SetOperatorStateAsync(
            alarm.Key, OperatorState.Shelved, AccessGate.CallerOf(context).Name, request.Reason!, new AlarmShelf(until, alarm.Severity), cancellationToken);
        return AlarmEndpoints.Answer(outcome, site, alarm, id, "accepted", time);
    }

    private static async Task<Results<Ok<AlarmContract>, ProblemHttpResult>> NoteAsync(
        HttpContext context, ISiteView site, IAlarmDesk desk, TimeProvider time, string id, NoteRequest request, CancellationToken cancellationToken)
    {
        if (AlarmWords.TextFault("text", request.Text, isNeeded: true) is { } fault)
        {
            return fault;
        }

        if (AlarmEndpoints.Find(site.Current, id) is not { } alarm)
        {
            return AlarmEndpoints.NoSuchAlarm(id);
        }

        var outcome = await desk.AddNoteAsync(alarm.Key, AccessGate.CallerOf(context).Name, request.Text!, cancellationToken);
        return AlarmEndpoints.Answer(outcome, site, alarm, id, "note", time);
    }

    private static Ok<IReadOnlyList<MaintenanceContract>> Windows(ISiteView site, TimeProvider time)
    {
        var now = time.GetUtcNow();
        return TypedResults.Ok<IReadOnlyList<MaintenanceContract>>([.. site.Current.Maintenance.Select(w => MaintenanceContract.Of(w, now))]);
    }

    private static async Task<Results<Ok<MaintenanceContract>, ProblemHttpResult>> AnnounceAsync(
        HttpContext context, IMaintenanceDesk desk, TimeProvider time, MaintenanceRequest request, CancellationToken cancellationToken)
    {
        if (AlarmWords.TextFault("reason", request.Reason, isNeeded: true) is { } fault)
        {
            return fault;
        }

        var now = time.GetUtcNow();
        var from = now;
        if (request.From is not null)
        {
            if (!Moment.TryParse(request.From, null, out var begin))
            {
                return Problem.BadValue("from", request.From, "It is no time with offset or Z.", "Leave it out for now, or give one such as 2026-11-25T06:00:00Z.");
            }

            from = begin.Utc > now ? begin.Utc : now;
        }

        var (to, wrong) = AlarmWords.End("to", request.To, from, MaintenanceWindow.LengthMax);
        if (wrong is not null)
        {
            return wrong;
        }

        return await desk.AnnounceAsync(request.Scope ?? "", from, to, AccessGate.CallerOf(context).Name, request.Reason!, cancellationToken) is { } window
            ? TypedResults.Ok(MaintenanceContract.Of(window, time.GetUtcNow()))
            : Problem.Of(
                ProblemTypes.NotFound, $"The design in force has no place '{request.Scope}'.", "scope", request.Scope,
                "Give site, pole/ID, switch/ID, run/ID or port/ID with an id of the design.");
    }

    private static async Task<Results<Ok<MaintenanceContract>, ProblemHttpResult>> EndAsync(
        HttpContext context, IMaintenanceDesk desk, TimeProvider time, string window, CancellationToken cancellationToken) =>
        await desk.EndAsync(window, AccessGate.CallerOf(context).Name, cancellationToken) is { } ended
            ? TypedResults.Ok(MaintenanceContract.Of(ended, time.GetUtcNow()))
            : Problem.Of(ProblemTypes.NotFound, $"There is no window '{window}' that is not over.", "window", window, "See /api/v1/maintenance.");
}
