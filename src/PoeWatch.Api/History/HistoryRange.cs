using System.Globalization;
using Microsoft.AspNetCore.Http.HttpResults;
using PoeWatch.Api.Endpoints;
using PoeWatch.Api.Problems;

namespace PoeWatch.Api.History;

/// <summary>The period [From, To) and the step that somebody asked for, within the bounds. Pure.</summary>
/// <param name="EndsNow">True where the next answer may still come.</param>
internal readonly record struct HistoryRange(DateTimeOffset From, DateTimeOffset To, TimeSpan Step, bool EndsNow)
{
    private const int PointsWanted = 300;
    private static readonly TimeSpan PeriodDefault = TimeSpan.FromHours(24);
    private static readonly int[] StepsSeconds = [10, 30, 60, 120, 300, 600, 900, 1_800, 3_600, 7_200, 21_600, 43_200, 86_400];

    /// <summary>The period alone: the last 24 hours where nothing is said, never beyond now.</summary>
    public static (HistoryRange Range, ProblemHttpResult? Problem) Of(Moment? from, Moment? to, DateTimeOffset now, TimeSpan periodMax)
    {
        var until = to is { } end && end.Utc < now ? end.Utc : now;
        var since = from?.Utc ?? until - PeriodDefault;
        if (since >= until)
        {
            return (default, Problem.BadValue(
                "from", Text(since), $"The period is empty: it would end at {Text(until)} (never later than now).", "Give an earlier from."));
        }

        return until - since > periodMax
            ? (default, Problem.Of(
                ProblemTypes.PeriodTooLong,
                string.Create(CultureInfo.InvariantCulture, $"The period is {(until - since).TotalDays:0.#} days long."),
                "from",
                Text(since),
                string.Create(CultureInfo.InvariantCulture, $"Ask for at most {periodMax.TotalDays:0.#} days at a time.")))
            : (new HistoryRange(since, until, TimeSpan.Zero, until == now), null);
    }

    /// <summary>The same with a step, the given one or a round one that makes a readable chart.</summary>
    public (HistoryRange Range, ProblemHttpResult? Problem) InSteps(StepLength? step, int pointsMax)
    {
        var periodSeconds = (To - From).TotalSeconds;
        var fitting = StepsSeconds.FirstOrDefault(s => periodSeconds / s <= PointsWanted, StepsSeconds[^1]);
        var seconds = step?.Length.TotalSeconds ?? fitting;
        var pointCount = Math.Ceiling(periodSeconds / seconds);
        return pointCount > pointsMax
            ? (default, Problem.Of(
                ProblemTypes.TooManyPoints,
                string.Create(CultureInfo.InvariantCulture, $"The answer would hold {pointCount:0} points; at most {pointsMax} are given."),
                "step",
                string.Create(CultureInfo.InvariantCulture, $"{seconds}s"),
                string.Create(
                    CultureInfo.InvariantCulture, $"Ask for step={Math.Ceiling(periodSeconds / pointsMax):0}s or longer, or take the CSV export.")))
            : (this with { Step = TimeSpan.FromSeconds(seconds) }, null);
    }

    private static string Text(DateTimeOffset time) => Web.UtcTimeConverter.Write(time);
}
