using PoeWatch.Api.Access;
using PoeWatch.Api.Contracts;
using PoeWatch.Api.Live;
using PoeWatch.Monitoring.Abstractions;

namespace PoeWatch.Api.Endpoints;

/// <summary>How the service itself is. Live and ready need no key and tell nothing more than one word.</summary>
internal static class HealthEndpoints
{
    public static void Map(RouteGroupBuilder api)
    {
        api.MapGet("/health", Health).WithSummary("How each part of the service is; 503 where one is bad")
            .WithTags("health").Produces<HealthContract>().Produces<HealthContract>(503);
        api.MapGet("/health/live", () => TypedResults.Ok(new ReadyContract("live"))).WithSummary("The process answers")
            .WithTags("health").WithMetadata(new AccessNeed(null));
        api.MapGet("/health/ready", Ready).WithSummary("The service does its work: 200, or 503 where one part is bad")
            .WithTags("health").WithMetadata(new AccessNeed(null)).Produces<ReadyContract>().Produces<ReadyContract>(503);
    }

    private static IResult Health(IServiceHealth health, LiveStreams streams)
    {
        var contract = HealthContract.From(health.Current, streams.Count);
        return TypedResults.Json(contract, statusCode: StatusOf(contract.Status));
    }

    private static IResult Ready(IServiceHealth health)
    {
        var status = HealthContract.Worst(health.Current);
        return TypedResults.Json(new ReadyContract(status), statusCode: StatusOf(status));
    }

    private static int StatusOf(string status) => status == "bad" ? StatusCodes.Status503ServiceUnavailable : StatusCodes.Status200OK;
}
