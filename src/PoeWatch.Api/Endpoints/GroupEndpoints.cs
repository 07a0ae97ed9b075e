using System.Globalization;
using Microsoft.AspNetCore.Http.HttpResults;
using PoeWatch.Api.Contracts;
using PoeWatch.Api.Problems;
using PoeWatch.Domain.Assessment;
using PoeWatch.Monitoring.Abstractions;

namespace PoeWatch.Api.Endpoints;

/// <summary>PSE groups: what they set aside, what their supplies leave, whom they would drop; and the batteries behind them.</summary>
internal static class GroupEndpoints
{
    private const int BudgetWattsMax = 100_000;

    public static void Map(RouteGroupBuilder api)
    {
        api.MapGet("/groups/{pse}/{group:int}", Group)
            .WithSummary("One PSE group: allocation, limits, what more it can feed, and whom it drops when a supply is lost or on a budget asked about")
            .WithTags("site").ProducesProblem(404);
        api.MapGet("/ups", UpsUnits).WithSummary("Batteries behind switches, with how long they last now and in the worst load case").WithTags("site");
    }

    private static Results<Ok<GroupDetailContract>, ProblemHttpResult> Group(ISiteView site, PlacementDesk desk, string pse, int group, int? budgetW)
    {
        if (budgetW is < 0 or > BudgetWattsMax)
        {
            return Problem.BadValue(
                "budgetW", budgetW.Value.ToString(CultureInfo.InvariantCulture), "This is no budget of a PSE group.", $"Give whole watts from 0 to {BudgetWattsMax}.");
        }

        var view = site.Current;
        return view.Assessment.Groups.FirstOrDefault(g => g.PseId == pse && g.Group == group) is { } found
            ? TypedResults.Ok(GroupDetailContract.From(view, found, desk.Of(view).Rooms.Worst(pse, group), budgetW))
            : Problem.Of(
                ProblemTypes.NotFound,
                $"The design has no PSE group {group.ToString(CultureInfo.InvariantCulture)} at '{pse}'.",
                "pse/group",
                string.Create(CultureInfo.InvariantCulture, $"{pse}:{group}"),
                $"See /api/v1/switches/{Uri.EscapeDataString(pse)} for its groups.");
    }

    private static Results<Ok<Page<UpsContract>>, ProblemHttpResult> UpsUnits(ISiteView site, int? limit, string? cursor)
    {
        var view = site.Current;
        var (slice, problem) = Paging.Cut("ups", (IEnumerable<UpsAssessment>)view.Assessment.UpsUnits, ups => ups.UpsId, limit, cursor);
        return slice is null
            ? problem!
            : TypedResults.Ok(Page<UpsContract>.From(
                view, new Slice<UpsContract>([.. slice.Items.Select(ups => UpsContract.From(view.Design, ups, view.Assessment.At))], slice.TotalCount, slice.NextCursor)));
    }
}
