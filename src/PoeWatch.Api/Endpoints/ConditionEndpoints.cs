using Microsoft.AspNetCore.Http.HttpResults;
using PoeWatch.Api.Access;
using PoeWatch.Api.Contracts;
using PoeWatch.Api.Problems;
using PoeWatch.Domain.Conditions;
using PoeWatch.Domain.Quantities;
using PoeWatch.Monitoring.Abstractions;

namespace PoeWatch.Api.Endpoints;

/// <summary>Which conditions hold, how that is known, which load cases count, and what people and other systems post.</summary>
internal static class ConditionEndpoints
{
    private const int TextMax = 1_000;
    private const double CelsiusMin = -90;
    private const double CelsiusMax = 60;
    private static readonly TimeSpan UntilMax = TimeSpan.FromDays(366);
    private static readonly TimeSpan ChangesDefault = TimeSpan.FromDays(7);

    public static void Map(RouteGroupBuilder api)
    {
        api.MapGet("/conditions", Conditions).WithSummary("Conditions with how they are known, and the load cases that count for it").WithTags("conditions");
        api.MapPut("/conditions/{topic}", PutAsync)
            .WithSummary("Say that a condition holds or not, or how warm the air is, until some time; who says it is taken from the key")
            .WithTags("conditions").WithMetadata(new AccessNeed(ApiRole.Operator)).ProducesProblem(404).ProducesProblem(503);
        api.MapDelete("/conditions/{topic}", DeleteAsync)
            .WithSummary("Take back what was posted").WithTags("conditions").WithMetadata(new AccessNeed(ApiRole.Operator)).ProducesProblem(404).ProducesProblem(503);
        api.MapGet("/condition-changes", ChangesAsync)
            .WithSummary("Who posted and took back what in [from, to); the last seven days by default").WithTags("conditions");
    }

    private static Ok<ConditionsContract> Conditions(ISiteView site) => TypedResults.Ok(ConditionsContract.From(site.Current));

    private static async Task<Results<Ok<ConditionsContract>, ProblemHttpResult>> PutAsync(
        HttpContext context, ISiteView site, IConditionDesk desk, TimeProvider time, string topic, ConditionRequest request, CancellationToken cancellationToken)
    {
        if (!ConditionNames.Topics.Contains(topic))
        {
            return NoSuchTopic(topic);
        }

        if (Fault(topic, request) is { } fault)
        {
            return fault;
        }

        var now = time.GetUtcNow();
        if (!Moment.TryParse(request.Until, null, out var until) || until.Utc <= now || until.Utc > now + UntilMax)
        {
            return Problem.BadValue(
                "until", request.Until, "It must be said until when this counts: later than now and at most 366 days ahead.",
                $"Give a time with offset or Z, such as {now.AddHours(1):yyyy-MM-ddTHH:mm:ssZ}.");
        }

        var (who, text) = (AccessGate.CallerOf(context).Name, request.Text ?? "");
        _ = topic == ConditionNames.AirTemperature
            ? await desk.SayAirAsync(Temperature.FromCelsius(request.AirCelsius!.Value), until.Utc, who, text, cancellationToken)
            : await desk.SayAsync(topic, request.Holds!.Value, until.Utc, who, text, cancellationToken);
        return TypedResults.Ok(ConditionsContract.From(site.Current));
    }

    private static ProblemHttpResult? Fault(string topic, ConditionRequest request)
    {
        var isAir = topic == ConditionNames.AirTemperature;
        if (isAir && (request.AirCelsius is not { } celsius || celsius is < CelsiusMin or > CelsiusMax))
        {
            return Problem.BadValue(
                "airCelsius", request.AirCelsius?.ToString(System.Globalization.CultureInfo.InvariantCulture),
                "The temperature of the air must be a number from -90 to 60.", "Give 'airCelsius' in degrees Celsius.");
        }

        if (!isAir && request.Holds is null)
        {
            return Problem.BadValue("holds", null, $"It must be said whether '{topic}' holds.", "Give 'holds' as true or false.");
        }

        if (isAir ? request.Holds is not null : request.AirCelsius is not null)
        {
            return Problem.BadValue(
                isAir ? "holds" : "airCelsius", null, "A condition holds or not, the temperature is a number: not both at one address.",
                isAir ? "Leave 'holds' out." : $"Leave it out, or put it to /api/v1/conditions/{ConditionNames.AirTemperature}.");
        }

        return (request.Text ?? "").Length > TextMax || (request.Text ?? "").Any(c => char.IsControl(c) && c != '\n')
            ? Problem.BadValue("text", null, $"The text is longer than {TextMax} characters or holds control characters.", "Shorten it.")
            : null;
    }

    private static async Task<Results<Ok<ConditionsContract>, ProblemHttpResult>> DeleteAsync(
        HttpContext context, ISiteView site, IConditionDesk desk, string topic, CancellationToken cancellationToken)
    {
        if (!ConditionNames.Topics.Contains(topic))
        {
            return NoSuchTopic(topic);
        }

        return await desk.TakeBackAsync(topic, AccessGate.CallerOf(context).Name, cancellationToken)
            ? TypedResults.Ok(ConditionsContract.From(site.Current))
            : Problem.Of(
                ProblemTypes.NotFound, $"Nothing that still counts is posted on '{topic}'.", "topic", topic, "See /api/v1/conditions for what counts.");
    }

    private static async Task<Results<Ok<Page<ConditionChangeContract>>, ProblemHttpResult>> ChangesAsync(
        ISiteView site, IConditionStore store, TimeProvider time, Moment? from, Moment? to, int? limit, string? cursor, CancellationToken cancellationToken)
    {
        var until = to?.Utc ?? time.GetUtcNow().AddSeconds(1);
        var since = from?.Utc ?? until - ChangesDefault;
        if (since >= until)
        {
            return Problem.BadValue("from", $"{since:O}", "The period is empty: from must be before to.", "Give an earlier from or a later to.");
        }

        var words = await store.ReadPostedAsync(since, until, cancellationToken);
        var (slice, problem) = Paging.Cut(
            "condition-changes", words.Select((word, i) => (word, i)), w => $"{w.word.At.UtcTicks:D20} {w.word.Topic} {w.i:D9}", limit, cursor);
        return slice is null
            ? problem!
            : TypedResults.Ok(Page<ConditionChangeContract>.From(
                site.Current,
                new Slice<ConditionChangeContract>([.. slice.Items.Select(w => ConditionChangeContract.From(w.word))], slice.TotalCount, slice.NextCursor)));
    }

    private static ProblemHttpResult NoSuchTopic(string topic) => Problem.Of(
        ProblemTypes.NotFound, $"There is no condition '{topic}'.", "topic", topic, $"There are {string.Join(", ", ConditionNames.Topics)}.");
}
