using System.Globalization;
using Microsoft.AspNetCore.Http.HttpResults;
using PoeWatch.Api.Contracts;
using PoeWatch.Api.Problems;
using PoeWatch.Domain.Alarms.Figures;
using PoeWatch.Monitoring.Abstractions;

namespace PoeWatch.Api.Endpoints;

/// <summary>How many alarms the service makes, against what the trade aims at.</summary>
internal static class AlarmFigureEndpoints
{
    private const int OperatorsMax = 100;

    // ISA-18.2 wants 30 days or more under such figures.
    private static readonly TimeSpan PeriodDefault = TimeSpan.FromDays(30);
    private static readonly TimeSpan PeriodMax = TimeSpan.FromDays(400);

    public static void Map(RouteGroupBuilder api) => api.MapGet("/alarm-figures", FiguresAsync)
        .WithSummary("Alarms per operator and day, peak, floods, standing, chattering and fleeting ones in [from, to); the last 30 days by default").WithTags("alarms");

    private static async Task<Results<Ok<AlarmFiguresContract>, ProblemHttpResult>> FiguresAsync(
        ISiteView site, IAlarmStore store, TimeProvider time, Moment? from, Moment? to, int? operators, CancellationToken cancellationToken)
    {
        var now = time.GetUtcNow();
        var until = to?.Utc is { } given && given < now ? given : now;
        var since = from?.Utc ?? until - PeriodDefault;
        if (since >= until || until - since > PeriodMax)
        {
            return Problem.BadValue("from", $"{since:O}", "The period must not be empty and not be longer than 400 days.", "Give another from or to.");
        }

        if (operators is < 1 or > OperatorsMax)
        {
            return Problem.BadValue(
                "operators", operators.Value.ToString(CultureInfo.InvariantCulture), $"It must be 1 to {OperatorsMax}.", "Give the number of people that share the alarms.");
        }

        // What stood at the end of a period that is over shows in what was told before and after it.
        var standsSince = until - PastAlarms.Before;
        var alarms = site.Current.Alarms;
        var changes = await store.ReadAlarmChangesAsync(since < standsSince ? since : standsSince, now, null, cancellationToken);
        var figures = AlarmFigures.Of(changes, alarms, since, until, operators ?? 1);
        return TypedResults.Ok(AlarmFiguresContract.Of(until == now ? figures : figures with { Standing = PastAlarms.StandingAt(until, changes, alarms) }));
    }
}
