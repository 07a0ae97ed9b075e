using System.Net.ServerSentEvents;
using System.Runtime.CompilerServices;
using Microsoft.AspNetCore.Http.HttpResults;
using PoeWatch.Api.Problems;

namespace PoeWatch.Api.Live;

/// <summary>The address of the live stream (server-sent events of the HTML standard).</summary>
internal static class LiveEndpoints
{
    public static void Map(RouteGroupBuilder api) => api.MapGet("/stream", Stream)
        .WithSummary("Live changes as server-sent events: changes, resync, heartbeat; carries on from Last-Event-ID")
        .WithTags("live").ProducesProblem(503);

    private static Results<ServerSentEventsResult<LiveEvent>, ProblemHttpResult> Stream(HttpContext context, LiveStreams streams, IHostApplicationLifetime lifetime)
    {
        if (!streams.TryEnter())
        {
            return Problem.Of(ProblemTypes.Busy, "All live streams are taken.", "stream", null, "Close another page, or read the lists now and then.");
        }

        // A proxy that collects the answer would hold back every event.
        context.Response.Headers["X-Accel-Buffering"] = "no";

        // A stream never ends by itself: without this a stopping service would wait for every open page.
        var end = CancellationTokenSource.CreateLinkedTokenSource(context.RequestAborted, lifetime.ApplicationStopping);
        context.Response.OnCompleted(() =>
        {
            end.Dispose();
            streams.Leave();
            return Task.CompletedTask;
        });
        return TypedResults.ServerSentEvents(
            EndQuietlyAsync(streams.FollowAsync(context.Request.Headers["Last-Event-ID"].FirstOrDefault(), end.Token)));
    }

    /// <summary>A client that goes away is the ordinary end of a stream, not a failure.</summary>
    private static async IAsyncEnumerable<SseItem<LiveEvent>> EndQuietlyAsync(
        IAsyncEnumerable<SseItem<LiveEvent>> events, [EnumeratorCancellation] CancellationToken cancellationToken = default)
    {
        await using var each = events.GetAsyncEnumerator(cancellationToken);
        while (true)
        {
            try
            {
                if (!await each.MoveNextAsync())
                {
                    yield break;
                }
            }
            catch (OperationCanceledException)
            {
                yield break;
            }

            yield return each.Current;
        }
    }
}
