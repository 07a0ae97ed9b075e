using Microsoft.AspNetCore.Http.HttpResults;
using PoeWatch.Api.Contracts;
using PoeWatch.Api.Endpoints;
using PoeWatch.Api.Problems;
using PoeWatch.Domain.Readings;
using PoeWatch.Domain.Rollups;
using PoeWatch.Monitoring.Rollups;

namespace PoeWatch.Api.History;

/// <summary>Answers out of the days of the site that are over: which ports drew most, and how long one drew how much.</summary>
internal static class DrawRankEndpoints
{
    private const int TopDefault = 20;
    private const int TopMax = 500;
    private static readonly TimeSpan Week = TimeSpan.FromDays(7);

    public static void Map(RouteGroupBuilder api)
    {
        api.MapGet("/top-draws", TopAsync)
            .WithSummary("Ports that drew most over whole days of the site; the last seven days by default")
            .WithTags("history").ProducesProblem(422).ProducesProblem(503);
        api.MapGet("/ports/{pse}/{group:int}/{port:int}/histogram", HistogramAsync)
            .WithSummary("How long a port drew how much over whole days of the site; the last seven days by default")
            .WithTags("history").ProducesProblem(404).ProducesProblem(422).ProducesProblem(503);
    }

    private static async Task<Results<Ok<TopDrawsContract>, ProblemHttpResult>> TopAsync(
        Moment? from, Moment? to, string? by, int? limit, HistoryServices services, RollupReader rollups, CancellationToken cancellationToken)
    {
        Func<DrawRollup, double?>? rank = by switch
        {
            null or "max" => draw => draw.Max?.Watts,
            "mean" => draw => draw.Mean?.Watts,
            "energy" => draw => draw.Coverage > 0 ? draw.EnergyWattHours : null,
            _ => null,
        };
        if (rank is null)
        {
            return Problem.BadValue("by", by, "Ports are ranked by max, mean or energy.", "Leave it out for max.");
        }

        if (limit is < 1 or > TopMax)
        {
            return Problem.BadValue("limit", $"{limit}", $"1 to {TopMax} ports are given.", $"Leave it out for {TopDefault}.");
        }

        return await InDaysAsync<TopDrawsContract>(
            from, to, services, rollups,
            async days => TopDrawsContract.Of(
                by ?? "max", days.From, days.To, days.To > days.From ? await rollups.TopAsync(days.From, days.To, rank, limit ?? TopDefault, cancellationToken) : []),
            cancellationToken);
    }

    private static async Task<Results<Ok<HistogramContract>, ProblemHttpResult>> HistogramAsync(
        string pse, int group, int port, Moment? from, Moment? to, HistoryServices services, RollupReader rollups, CancellationToken cancellationToken)
    {
        var reference = new PsePortRef(pse, group, port);
        return services.Site.Current.Assessment.Ports.ContainsKey(reference)
            ? await InDaysAsync<HistogramContract>(
                from, to, services, rollups,
                async days => HistogramContract.Of(
                    reference, days.From, days.To,
                    days.To > days.From ? await rollups.HistogramAsync(reference, days.From, days.To, cancellationToken) : new DrawHistogram()),
                cancellationToken)
            : Problem.NotFound("pse/group/port", reference.ToString(), "PSE port", "See /api/v1/switches for those it has.");
    }

    private static async Task<Results<Ok<T>, ProblemHttpResult>> InDaysAsync<T>(
        Moment? from, Moment? to, HistoryServices services, RollupReader rollups, Func<(DateTimeOffset From, DateTimeOffset To), Task<T>> answer,
        CancellationToken cancellationToken)
    {
        var now = services.Time.GetUtcNow();
        var (range, problem) = HistoryRange.Of(from ?? new Moment((to is { } end && end.Utc < now ? end.Utc : now) - Week), to, now, services.Options.ExportPeriodMax);
        if (problem is not null)
        {
            return problem;
        }

        if (!await services.Gate.TryEnterAsync(cancellationToken))
        {
            return HistoryGate.AllTaken();
        }

        try
        {
            return TypedResults.Ok(await answer(await rollups.DaysOverAsync(range.From, range.To, cancellationToken)));
        }
        finally
        {
            services.Gate.Leave();
        }
    }
}
