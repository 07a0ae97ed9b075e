using Microsoft.AspNetCore.Http.HttpResults;
using PoeWatch.Api.Contracts;
using PoeWatch.Api.Problems;
using PoeWatch.Domain.Assessment;
using PoeWatch.Domain.Readings;
using PoeWatch.Monitoring.Abstractions;

namespace PoeWatch.Api.Endpoints;

/// <summary>The site, its elements with agents and their ports.</summary>
internal static class SiteEndpoints
{
    public static void Map(RouteGroupBuilder api)
    {
        api.MapGet("/site", Site).WithSummary("The site in a few numbers").WithTags("site");
        api.MapGet("/switches", Switches).WithSummary("Everything that has an agent to poll, with its PSE groups").WithTags("site");
        api.MapGet("/switches/{pse}", Switch).WithSummary("One element with all its ports").WithTags("site").ProducesProblem(404);
        api.MapGet("/ports/{pse}/{group:int}/{port:int}", Port).WithSummary("One PSE port").WithTags("site").ProducesProblem(404);
    }

    private static Ok<SiteContract> Site(ISiteView site) => TypedResults.Ok(SiteContract.From(site.Current));

    private static Results<Ok<Page<SwitchContract>>, ProblemHttpResult> Switches(ISiteView site, IPollCounts polls, int? limit, string? cursor)
    {
        var view = site.Current;
        var (slice, problem) = Paging.Cut("switches", view.Design.Agents.Keys, id => id, limit, cursor);
        return slice is null
            ? problem!
            : TypedResults.Ok(Page<SwitchContract>.From(
                view, new Slice<SwitchContract>([.. slice.Items.Select(id => SwitchContract.From(view, polls, id))], slice.TotalCount, slice.NextCursor)));
    }

    private static Results<Ok<SwitchDetailContract>, ProblemHttpResult> Switch(ISiteView site, IPollCounts polls, string pse)
    {
        var view = site.Current;
        return view.Design.Agents.ContainsKey(pse)
            ? TypedResults.Ok(new SwitchDetailContract(
                SwitchContract.From(view, polls, pse),
                [.. view.Assessment.Ports.Values.Where(p => p.Port.PseId == pse).OrderBy(p => p.Port).Select(p => PortContract.From(view, p))]))
            : Problem.NotFound("pse", pse, "element with an agent named", "See /api/v1/switches for those it has.");
    }

    private static Results<Ok<PortContract>, ProblemHttpResult> Port(ISiteView site, string pse, int group, int port)
    {
        var view = site.Current;
        var reference = new PsePortRef(pse, group, port);
        return view.Assessment.Ports.TryGetValue(reference, out PortAssessment? state)
            ? TypedResults.Ok(PortContract.From(view, state))
            : Problem.Of(
                ProblemTypes.NotFound,
                $"Neither the design nor a reading has the PSE port '{reference}'.",
                "pse/group/port",
                reference.ToString(),
                $"See /api/v1/switches/{Uri.EscapeDataString(pse)} for its ports.");
    }
}
