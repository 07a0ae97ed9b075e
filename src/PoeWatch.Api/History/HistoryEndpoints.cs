using Microsoft.AspNetCore.Http.HttpResults;
using PoeWatch.Api.Contracts;
using PoeWatch.Api.Endpoints;
using PoeWatch.Api.Problems;
using PoeWatch.Domain.Readings;
using PoeWatch.Domain.Rollups;
using PoeWatch.Monitoring.Abstractions;

namespace PoeWatch.Api.History;

/// <summary>Draw history of a port or a pole.</summary>
internal static class HistoryEndpoints
{
    public static void Map(RouteGroupBuilder api)
    {
        api.MapGet("/ports/{pse}/{group:int}/{port:int}/history", PortAsync)
            .WithSummary("Draw history of one port in [from, to); the last 24 hours by default")
            .WithTags("history").ProducesProblem(404).ProducesProblem(422).ProducesProblem(503);
        api.MapGet("/poles/{pole}/history", PoleAsync)
            .WithSummary("Draw history of one pole: the sum of its runs, unknown where one of them is")
            .WithTags("history").ProducesProblem(404).ProducesProblem(422).ProducesProblem(503);
        MapSums(api);
    }

    private static void MapSums(RouteGroupBuilder api)
    {
        api.MapGet("/switches/{pse}/history", SwitchAsync)
            .WithSummary("Draw history of one element: the sum of its ports, unknown where one of them is")
            .WithTags("history").ProducesProblem(404).ProducesProblem(422).ProducesProblem(503);
        api.MapGet("/groups/{pse}/{group:int}/history", GroupAsync)
            .WithSummary("Draw history of one PSE group: the sum of its designed ports, out of the readings")
            .WithTags("history").ProducesProblem(404).ProducesProblem(422).ProducesProblem(503);
        api.MapGet("/site/history", SiteAsync)
            .WithSummary("Draw history of the site by whole quarter-hours, up to where they are rolled up")
            .WithTags("history").ProducesProblem(422).ProducesProblem(503);
        api.MapGet("/run-history", CableRunAsync)
            .WithSummary("Draw history of one run, by its id")
            .WithTags("history").ProducesProblem(404).ProducesProblem(422).ProducesProblem(503);
    }

    private static Task<Results<Ok<SeriesContract>, ProblemHttpResult>> SwitchAsync(
        string pse, Moment? from, Moment? to, StepLength? step, HistoryServices services, CancellationToken cancellationToken)
    {
        var view = services.Site.Current;
        return view.Design.Agents.ContainsKey(pse)
            ? AnswerAsync(view, HistorySubject.OfSwitch(view.Design, pse), from, to, step, services, cancellationToken)
            : Task.FromResult<Results<Ok<SeriesContract>, ProblemHttpResult>>(
                Problem.NotFound("pse", pse, "element with an agent named", "See /api/v1/switches for those it has."));
    }

    private static Task<Results<Ok<SeriesContract>, ProblemHttpResult>> GroupAsync(
        string pse, int group, Moment? from, Moment? to, StepLength? step, HistoryServices services, CancellationToken cancellationToken)
    {
        var view = services.Site.Current;
        return view.Assessment.Groups.Any(g => g.PseId == pse && g.Group == group)
            ? AnswerAsync(view, HistorySubject.OfGroup(view.Design, pse, group), from, to, step, services, cancellationToken)
            : Task.FromResult<Results<Ok<SeriesContract>, ProblemHttpResult>>(
                Problem.NotFound("pse/group", string.Create(System.Globalization.CultureInfo.InvariantCulture, $"{pse}/{group}"), "PSE group", "See /api/v1/switches for those it has."));
    }

    private static Task<Results<Ok<SeriesContract>, ProblemHttpResult>> SiteAsync(
        Moment? from, Moment? to, StepLength? step, HistoryServices services, CancellationToken cancellationToken)
    {
        var view = services.Site.Current;
        return step is { } length && length.Length.Ticks % RollupSteps.QuarterHour.Ticks != 0
            ? Task.FromResult<Results<Ok<SeriesContract>, ProblemHttpResult>>(Problem.BadValue(
                "step", $"{length.Length.TotalSeconds}s", "The site is rolled up by quarter-hours.", "Give whole quarter-hours, such as 15m, 1h or 1d."))
            : AnswerAsync(view, HistorySubject.OfSite(view.Design), from, to, step ?? FittingSite(from, to, services.Time.GetUtcNow()), services, cancellationToken);
    }

    // A fitting step of a short period would be shorter than what there is.
    private static StepLength? FittingSite(Moment? from, Moment? to, DateTimeOffset now) =>
        from is { } since && (to?.Utc ?? now) - since.Utc > TimeSpan.FromDays(3) ? null : new StepLength(RollupSteps.QuarterHour);

    private static Task<Results<Ok<SeriesContract>, ProblemHttpResult>> CableRunAsync(
        string? run, Moment? from, Moment? to, StepLength? step, HistoryServices services, CancellationToken cancellationToken)
    {
        var view = services.Site.Current;
        return run is not null && view.Design.CableRuns.TryGetValue(run, out var cableRun)
            ? AnswerAsync(view, HistorySubject.Of(cableRun), from, to, step, services, cancellationToken)
            : Task.FromResult<Results<Ok<SeriesContract>, ProblemHttpResult>>(
                Problem.NotFound("run", run ?? "", "run", "See /api/v1/runs for those it has."));
    }

    private static Task<Results<Ok<SeriesContract>, ProblemHttpResult>> PortAsync(
        string pse, int group, int port, Moment? from, Moment? to, StepLength? step, HistoryServices services, CancellationToken cancellationToken)
    {
        var view = services.Site.Current;
        var reference = new PsePortRef(pse, group, port);
        return view.Assessment.Ports.ContainsKey(reference)
            ? AnswerAsync(view, HistorySubject.Of(reference), from, to, step, services, cancellationToken)
            : Task.FromResult<Results<Ok<SeriesContract>, ProblemHttpResult>>(
                Problem.NotFound("pse/group/port", reference.ToString(), "PSE port", "See /api/v1/switches for those it has."));
    }

    private static Task<Results<Ok<SeriesContract>, ProblemHttpResult>> PoleAsync(
        string pole, Moment? from, Moment? to, StepLength? step, HistoryServices services, CancellationToken cancellationToken)
    {
        var view = services.Site.Current;
        return view.Design.Poles.ContainsKey(pole)
            ? AnswerAsync(view, HistorySubject.OfPole(view.Design, pole), from, to, step, services, cancellationToken)
            : Task.FromResult<Results<Ok<SeriesContract>, ProblemHttpResult>>(PoleEndpoints.NoSuchPole(pole));
    }

    private static async Task<Results<Ok<SeriesContract>, ProblemHttpResult>> AnswerAsync(
        SiteView view, HistorySubject subject, Moment? from, Moment? to, StepLength? step, HistoryServices services, CancellationToken cancellationToken)
    {
        var (period, problem) = HistoryRange.Of(from, to, services.Time.GetUtcNow(), services.Options.ExportPeriodMax);
        var (range, stepProblem) = problem is null ? period.InSteps(step, services.Options.HistoryPointsMax) : default;
        if ((problem ?? stepProblem) is { } wrong)
        {
            return wrong;
        }

        if (!await services.Gate.TryEnterAsync(cancellationToken))
        {
            return HistoryGate.AllTaken();
        }

        try
        {
            return TypedResults.Ok(await services.Reader.ReadAsync(view, subject, range, cancellationToken));
        }
        finally
        {
            services.Gate.Leave();
        }
    }
}

/// <summary>What reading the history needs.</summary>
internal sealed record HistoryServices(ISiteView Site, IHistoryStore Store, SeriesReader Reader, HistoryGate Gate, ApiOptions Options, TimeProvider Time);
