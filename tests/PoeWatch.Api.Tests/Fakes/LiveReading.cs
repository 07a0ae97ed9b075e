using System.Net.ServerSentEvents;
using System.Text.Json;
using Microsoft.Extensions.Time.Testing;

namespace PoeWatch.Api.Tests.Fakes;

/// <summary>A client of the live stream.</summary>
internal sealed class LiveReading : IAsyncDisposable
{
    private readonly CancellationTokenSource _end;
    private readonly HttpResponseMessage _response;
    private readonly IAsyncEnumerator<SseItem<string>> _events;

    private LiveReading(CancellationTokenSource end, HttpResponseMessage response, Stream body)
    {
        (_end, _response) = (end, response);
        _events = SseParser.Create(body).EnumerateAsync(end.Token).GetAsyncEnumerator(end.Token);
    }

    public static async Task<LiveReading> OpenAsync(ApiHarness api, string? lastEventId = null)
    {
        var end = CancellationTokenSource.CreateLinkedTokenSource(ApiHarness.Token);
        var request = new HttpRequestMessage(HttpMethod.Get, "/api/v1/stream");
        if (lastEventId is not null)
        {
            request.Headers.Add("Last-Event-ID", lastEventId);
        }

        var response = await api.Client.SendAsync(request, HttpCompletionOption.ResponseHeadersRead, end.Token);
        Assert.Equal("text/event-stream", response.Content.Headers.ContentType?.MediaType);
        return new LiveReading(end, response, await response.Content.ReadAsStreamAsync(end.Token));
    }

    /// <summary>The next event; moves the clock in small steps until it comes, where one is given.</summary>
    public async Task<(string EventType, string? EventId, JsonElement Data)> NextAsync(FakeTimeProvider? time = null)
    {
        var next = _events.MoveNextAsync().AsTask();
        for (var i = 0; i < 100_000 && time is not null && !next.IsCompleted; i++)
        {
            time.Advance(TimeSpan.FromMilliseconds(100));
            await Task.Yield();
        }

        Assert.True(await next, "The stream ended.");
        return (_events.Current.EventType, _events.Current.EventId, JsonDocument.Parse(_events.Current.Data).RootElement);
    }

    /// <summary>True where the stream ends by itself; moves the clock until it does, by an hour at most.</summary>
    public async Task<bool> EndsAsync(FakeTimeProvider time)
    {
        var next = _events.MoveNextAsync().AsTask();
        for (var i = 0; i < 36_000 && !next.IsCompleted; i++)
        {
            time.Advance(TimeSpan.FromMilliseconds(100));
            await Task.Yield();
        }

        return next.IsCompleted && !await next;
    }

    public async ValueTask DisposeAsync()
    {
        await _end.CancelAsync();
        try
        {
            await _events.DisposeAsync();
        }
        catch (OperationCanceledException)
        {
            // The wait for the next event was cut short on purpose.
        }

        _response.Dispose();
        _end.Dispose();
    }
}
