using System.Collections.Concurrent;
using System.Net;
using System.Security.Cryptography.X509Certificates;
using System.Text.Json;
using Microsoft.AspNetCore.Builder;
using Microsoft.AspNetCore.Hosting;
using Microsoft.AspNetCore.Http;
using Microsoft.Extensions.Logging;

namespace PoeWatch.Channels.Tests.Receivers;

/// <summary>One POST as it came.</summary>
internal sealed record WebhookCall(string Time, string Signature, byte[] Body)
{
    public IReadOnlyList<JsonElement> Notices => [.. JsonDocument.Parse(Body).RootElement.GetProperty("notices").EnumerateArray()];
}

/// <summary>A web server (Kestrel) that takes webhooks over TLS.</summary>
internal sealed class WebhookReceiver : IAsyncDisposable
{
    private readonly WebApplication _app;
    private readonly ConcurrentQueue<WebhookCall> _calls;

    private WebhookReceiver(WebApplication app, ConcurrentQueue<WebhookCall> calls) => (_app, _calls) = (app, calls);

    public IReadOnlyList<WebhookCall> Calls => [.. _calls];

    public static async Task<WebhookReceiver> StartAsync(int port, X509Certificate2 certificate, Func<int>? status = null)
    {
        WebApplicationBuilder builder = WebApplication.CreateSlimBuilder();
        builder.Logging.ClearProviders();
        builder.WebHost.UseKestrelHttpsConfiguration();
        builder.WebHost.ConfigureKestrel(kestrel => kestrel.Listen(IPAddress.Loopback, port, endpoint => endpoint.UseHttps(certificate)));
        WebApplication app = builder.Build();
        var calls = new ConcurrentQueue<WebhookCall>();
        app.MapPost("/hook", async (HttpRequest request) =>
        {
            using var body = new MemoryStream();
            await request.Body.CopyToAsync(body, request.HttpContext.RequestAborted);
            var answer = status?.Invoke() ?? StatusCodes.Status204NoContent;
            calls.Enqueue(new WebhookCall(request.Headers["PoeWatch-Time"]!, request.Headers["PoeWatch-Signature"]!, body.ToArray()));
            return Results.StatusCode(answer);
        });
        app.MapPost("/moved", () => Results.Redirect("/hook", permanent: true, preserveMethod: true));
        await app.StartAsync(TestContext.Current.CancellationToken);
        return new WebhookReceiver(app, calls);
    }

    public ValueTask DisposeAsync() => _app.DisposeAsync();
}
