using Microsoft.AspNetCore.Http.HttpResults;
using PoeWatch.Api.Contracts;
using PoeWatch.Api.Problems;
using PoeWatch.Domain.Design;
using PoeWatch.Monitoring.Abstractions;

namespace PoeWatch.Api.Endpoints;

/// <summary>Poles, their runs and what is left on them.</summary>
internal static class PoleEndpoints
{
    public static void Map(RouteGroupBuilder api)
    {
        api.MapGet("/poles", Poles).WithSummary("Poles by name").WithTags("poles");
        api.MapGet("/poles/{pole}", Pole).WithSummary("One pole with its runs, devices and cables").WithTags("poles").ProducesProblem(404);
        api.MapGet("/headroom", Headroom).WithSummary("Poles by remaining headroom, least first, with the limit that binds").WithTags("poles");
        api.MapGet("/runs", CableRuns).WithSummary("Cable runs, all or those of one pole").WithTags("poles");
        api.MapGet("/loops", Loops).WithSummary("Segments that are metered at both ends, with the resistance of their copper").WithTags("poles");
        api.MapGet("/device-types", DeviceTypes).WithSummary("Kinds of device that the design knows").WithTags("poles");
    }

    private static Results<Ok<Page<PoleContract>>, ProblemHttpResult> Poles(ISiteView site, int? limit, string? cursor)
    {
        var view = site.Current;
        var (slice, problem) = Paging.Cut("poles", view.Design.Poles.Values.Select(p => PoleContract.From(view, p)), p => p.Id, limit, cursor);
        return slice is null ? problem! : TypedResults.Ok(Page<PoleContract>.From(view, slice));
    }

    private static Results<Ok<Page<PoleContract>>, ProblemHttpResult> Headroom(ISiteView site, int? limit, string? cursor)
    {
        var view = site.Current;
        var (slice, problem) = Paging.Cut(
            "headroom",
            view.Design.Poles.Values.Select(p => PoleContract.From(view, p)),
            p => $"{Paging.Sortable(p.HeadroomW)} {p.Id}",
            limit,
            cursor);
        return slice is null ? problem! : TypedResults.Ok(Page<PoleContract>.From(view, slice));
    }

    private static Results<Ok<PoleDetailContract>, ProblemHttpResult> Pole(ISiteView site, string pole)
    {
        var view = site.Current;
        return view.Design.Poles.TryGetValue(pole, out var found)
            ? TypedResults.Ok(new PoleDetailContract(
                PoleContract.From(view, found),
                [.. view.Design.CableRunsByPole.GetValueOrDefault(pole, []).Select(r => CableRunContract.From(view, r))])
            {
                WorstDemands = WorstDemandsContract.From(view.Assessment.Demands?.OfPole(pole)),
            })
            : NoSuchPole(pole);
    }

    private static Results<Ok<Page<CableRunContract>>, ProblemHttpResult> CableRuns(ISiteView site, string? pole, int? limit, string? cursor)
    {
        var view = site.Current;
        if (pole is not null && !view.Design.Poles.ContainsKey(pole))
        {
            return NoSuchPole(pole);
        }

        IEnumerable<CableRun> cableRuns = pole is null ? view.Design.CableRuns.Values : view.Design.CableRunsByPole.GetValueOrDefault(pole, []);
        var (slice, problem) = Paging.Cut($"runs {pole}", cableRuns, r => r.Id, limit, cursor);
        return slice is null
            ? problem!
            : TypedResults.Ok(Page<CableRunContract>.From(
                view, new Slice<CableRunContract>([.. slice.Items.Select(r => CableRunContract.From(view, r))], slice.TotalCount, slice.NextCursor)));
    }

    private static Results<Ok<Page<LoopContract>>, ProblemHttpResult> Loops(ISiteView site, int? limit, string? cursor)
    {
        var view = site.Current;
        var (slice, problem) = Paging.Cut("loops", view.Assessment.Segments.Select(LoopContract.Of), s => s.SegmentId, limit, cursor);
        return slice is null ? problem! : TypedResults.Ok(Page<LoopContract>.From(view, slice));
    }

    private static Results<Ok<Page<DeviceTypeContract>>, ProblemHttpResult> DeviceTypes(ISiteView site, int? limit, string? cursor)
    {
        var view = site.Current;
        var (slice, problem) = Paging.Cut("device-types", view.Design.DeviceTypes.Values.Select(type => DeviceTypeContract.From(view.Design, type)), t => t.Id, limit, cursor);
        return slice is null ? problem! : TypedResults.Ok(Page<DeviceTypeContract>.From(view, slice));
    }

    internal static ProblemHttpResult NoSuchPole(string pole) => Problem.NotFound("pole", pole, "pole", "See /api/v1/poles for those it has.");
}
