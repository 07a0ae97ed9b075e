using Microsoft.AspNetCore.Http.HttpResults;
using PoeWatch.Api.Contracts;
using PoeWatch.Api.Problems;
using PoeWatch.Domain.Demands;
using PoeWatch.Domain.Design;
using PoeWatch.Monitoring.Abstractions;

namespace PoeWatch.Api.Endpoints;

/// <summary>What the design says that may be needed, by load case and place.</summary>
internal static class DemandEndpoints
{
    public static void Map(RouteGroupBuilder api)
    {
        api.MapGet("/demand", Site).WithSummary("Designed demand of the site and its PSE groups by load case, with the worst one and the cold starts").WithTags("planning");
        api.MapGet("/demand/{level}", Level)
            .WithSummary("Designed demand by load case of all switches, poles, runs or devices, the most first").WithTags("planning").ProducesProblem(404);
    }

    private static Ok<SiteDemandContract> Site(ISiteView site, DemandDesk desk)
    {
        var view = site.Current;
        return TypedResults.Ok(SiteDemandContract.From(view.Design, desk.Of(view)));
    }

    private static Results<Ok<Page<PlaceDemandContract>>, ProblemHttpResult> Level(ISiteView site, DemandDesk desk, string level, int? limit, string? cursor)
    {
        var view = site.Current;
        var plan = desk.Of(view);
        var places = level switch
        {
            "switches" => plan.Switches,
            "poles" => plan.Poles,
            "runs" => plan.CableRuns,
            "devices" => plan.Devices,
            _ => null,
        };
        if (places is null)
        {
            return Problem.Of(ProblemTypes.NotFound, $"There is no demand of '{level}'.", "level", level, "It is one of switches, poles, runs, devices.");
        }

        var (slice, problem) = Paging.Cut(
            $"demand {level}", (IEnumerable<PlaceDemand>)places.Values, place => $"{Paging.Sortable(-place.Worst.Watts.Watts)} {place.Id}", limit, cursor);
        return slice is null
            ? problem!
            : TypedResults.Ok(Page<PlaceDemandContract>.From(
                view, new Slice<PlaceDemandContract>([.. slice.Items.Select(PlaceDemandContract.From)], slice.TotalCount, slice.NextCursor)));
    }
}

/// <summary>
/// The demand of the design in force: the assessment's own, and before the first assessment one that is kept until the design changes, for it takes solutions per run and load
/// case. Thread safe.
/// </summary>
internal sealed class DemandDesk
{
    private readonly Lock _gate = new();
    private DesignModel? _design;
    private DemandPlan? _plan;

    /// <summary>What the assessment went by; null before the first.</summary>
    public static DemandPlan? Known(SiteView view) => view.Assessment.DesignHash == view.Design.Hash ? view.Assessment.Demands?.Plan : null;

    public DemandPlan Of(SiteView view)
    {
        if (Known(view) is { } known)
        {
            return known;
        }

        var design = view.Design;
        lock (_gate)
        {
            if (_plan is null || !ReferenceEquals(_design, design))
            {
                (_design, _plan) = (design, DemandPlan.Of(design));
            }

            return _plan;
        }
    }
}
