using System.Collections.Immutable;
using Microsoft.AspNetCore.Http.HttpResults;
using PoeWatch.Api.Contracts;
using PoeWatch.Api.Problems;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.Placement;
using PoeWatch.Monitoring.Abstractions;

namespace PoeWatch.Api.Endpoints;

/// <summary>The planner's questions: how much more can each pole take, and does a device of a type fit.</summary>
internal static class PlacementEndpoints
{
    public static void Map(RouteGroupBuilder api) => api.MapGet("/placement", Placement)
        .WithSummary("Extra watts that each pole can take at its end after losses, most first; with 'type' whether one more such device fits")
        .WithTags("planning").ProducesProblem(404);

    private static Results<Ok<Page<PolePlacementContract>>, ProblemHttpResult> Placement(
        ISiteView site, PlacementDesk desk, string? type, string? pole, int? limit, string? cursor)
    {
        var view = site.Current;
        DeviceType? wanted = null;
        if (type is not null && !view.Design.DeviceTypes.TryGetValue(type, out wanted))
        {
            return Problem.NotFound("type", type, "device type", "See /api/v1/device-types for those it knows.");
        }

        if (pole is not null && !view.Design.Poles.ContainsKey(pole))
        {
            return PoleEndpoints.NoSuchPole(pole);
        }

        var answer = desk.Of(view);
        var (slice, problem) = Paging.Cut(
            $"placement {pole}", answer.Poles.Where(p => pole is null || p.PoleId == pole), Order, limit, cursor);
        return slice is null
            ? problem!
            : TypedResults.Ok(Page<PolePlacementContract>.From(
                view, new Slice<PolePlacementContract>([.. slice.Items.Select(p => Contract(view, answer, p, wanted))], slice.TotalCount, slice.NextCursor)));
    }

    /// <summary>Most room first, poles without a run last.</summary>
    private static string Order(PolePlacement pole) => $"{Paging.Sortable(-pole.Roomiest?.Extra.Watts.Watts)} {pole.PoleId}";

    private static PolePlacementContract Contract(SiteView view, PlacementDesk.Answer answer, PolePlacement pole, DeviceType? type)
    {
        var fits = type is null
            ? ImmutableDictionary<string, DeviceFit>.Empty
            : PlacementPlanner.Fit(view.Design, pole.PoleId, type, answer.Excess, rooms: answer.Rooms).ToImmutableDictionary(f => f.CableRunId);
        return new PolePlacementContract(
            pole.PoleId,
            view.Design.Poles[pole.PoleId].Name,
            pole.Roomiest?.CableRunId,
            pole.Roomiest?.Extra.Watts.RoundedW(),
            type is null ? null : fits.Values.Any(f => f.Fits),
            DeviceContract.DesignName,
            [.. pole.CableRuns.Select(r => CableRun(view, answer.Rooms, r, type is null ? null : DeviceFitContract.From(type.Id, fits[r.CableRunId])))]);
    }

    private static CableRunPlacementContract CableRun(SiteView view, GroupRooms rooms, RunPlacement placement, DeviceFitContract? fit)
    {
        var cableRun = view.Design.CableRuns[placement.CableRunId];
        var group = cableRun.Source.InjectorId is null && cableRun.Source.Port is { } port
            ? rooms.Worst(port.PseId, port.Group)
            : null;
        return new CableRunPlacementContract(
            placement.CableRunId,
            placement.AtElement,
            placement.Extra.Watts.RoundedW(),
            placement.FreeOutputs,
            placement.WorstLoadCaseId,
            LimitContract.From(placement.Extra.Binding),
            group?.OnRuns.RoundedW(),
            cableRun.IsUnmetered,
            fit);
    }
}
