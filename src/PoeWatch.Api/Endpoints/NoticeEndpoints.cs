using System.Globalization;
using Microsoft.AspNetCore.Http.HttpResults;
using PoeWatch.Api.Access;
using PoeWatch.Api.Contracts;
using PoeWatch.Api.Problems;
using PoeWatch.Domain.Notices;
using PoeWatch.Monitoring.Abstractions;

namespace PoeWatch.Api.Endpoints;

/// <summary>Notices, the ways they go, and trying them out.</summary>
internal static class NoticeEndpoints
{
    public static void Map(RouteGroupBuilder api)
    {
        api.MapGet("/notices", NoticesAsync).WithSummary("Notices, the newest first; filter by state: waiting, sent or dead").WithTags("notices");
        api.MapGet("/notice-lanes", Lanes).WithSummary("Each role by each of its channels: what waits, what was given up, what fails").WithTags("notices");
        api.MapPost("/notices/trial", TryOutAsync).WithSummary("Put a trial notice into the lanes of a role, of a channel, or all")
            .WithTags("notices").WithMetadata(new AccessNeed(ApiRole.Operator)).ProducesProblem(404).ProducesProblem(503);
        api.MapPost("/notices/{notice}/revive", ReviveAsync).WithSummary("Send a notice again that was given up")
            .WithTags("notices").WithMetadata(new AccessNeed(ApiRole.Operator)).ProducesProblem(404).ProducesProblem(503);
    }

    private static async Task<Results<Ok<NoticePage>, ProblemHttpResult>> NoticesAsync(
        INoticeDesk desk, string? state, int? limit, string? cursor, CancellationToken cancellationToken)
    {
        NoticeState[] states = [NoticeState.Waiting, NoticeState.Sent, NoticeState.Dead];
        NoticeState? wanted = state is null ? null : states.Where(s => NoticeContract.NameOf(s) == state).FirstOrDefault();
        if (wanted == NoticeState.Unknown)
        {
            return Problem.BadValue("state", state, "There is no such state.", "Give waiting, sent or dead.");
        }

        if (limit is < 1 or > Paging.LimitMax)
        {
            return Problem.BadValue(
                "limit", limit.Value.ToString(CultureInfo.InvariantCulture), $"A page holds 1 to {Paging.LimitMax} items.", $"Leave it out for {Paging.LimitDefault}.");
        }

        long below = 0;
        if (!string.IsNullOrEmpty(cursor) && !long.TryParse(cursor, NumberStyles.None, CultureInfo.InvariantCulture, out below))
        {
            return Problem.Of(ProblemTypes.BadCursor, "This list gave no such cursor.", "cursor", cursor, "Start again without one.");
        }

        var size = limit ?? Paging.LimitDefault;
        var found = await desk.ReadAsync(wanted, below == 0 ? null : below, size + 1, cancellationToken);
        var page = found.Take(size).ToList();
        return TypedResults.Ok(new NoticePage(
            [.. page.Select(NoticeContract.From)], found.Count > size ? page[^1].Id.ToString(CultureInfo.InvariantCulture) : null));
    }

    private static Ok<IReadOnlyList<NoticeLaneContract>> Lanes(INoticeDesk desk) =>
        TypedResults.Ok<IReadOnlyList<NoticeLaneContract>>([.. desk.Lanes.Select(NoticeLaneContract.From)]);

    private static async Task<Results<Ok<NoticeTrialContract>, ProblemHttpResult>> TryOutAsync(
        HttpContext context, INoticeDesk desk, NoticeTrialRequest request, CancellationToken cancellationToken)
    {
        var lanes = await desk.TryOutAsync(request.Role, request.Channel, AccessGate.CallerOf(context).Name, cancellationToken);
        return lanes.IsEmpty
            ? Problem.Of(
                ProblemTypes.NotFound, "The settings have no such role with such a channel.", "role", $"{request.Role}/{request.Channel}", "See /api/v1/notice-lanes.")
            : TypedResults.Ok(new NoticeTrialContract([.. lanes.Select(l => l.ToString())]));
    }

    private static async Task<Results<NoContent, ProblemHttpResult>> ReviveAsync(INoticeDesk desk, long notice, CancellationToken cancellationToken) =>
        await desk.ReviveAsync(notice, cancellationToken)
            ? TypedResults.NoContent()
            : Problem.Of(
                ProblemTypes.NotFound, $"No notice {notice} was given up.", "notice", notice.ToString(CultureInfo.InvariantCulture), "See /api/v1/notices?state=dead.");
}
