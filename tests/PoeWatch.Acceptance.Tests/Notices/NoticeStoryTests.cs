using System.Collections.Concurrent;
using System.Net;
using System.Security.Cryptography;
using System.Text;
using System.Text.Json;
using PoeWatch.Acceptance.Tests.Agents;
using PoeWatch.Acceptance.Tests.Support;

namespace PoeWatch.Acceptance.Tests.Notices;

/// <summary>A switch that nobody answers for, a receiver that is down, kill -9 of the service: the notice arrives all the same.</summary>
public sealed class NoticeStoryTests
{
    private const string Secret = "the desk's own secret, drawn once";

    // The on-delay of a silent switch is 30 s (docs/headroom.md).
    private static readonly TimeSpan Patience = TimeSpan.FromSeconds(150);

    [Fact]
    public async Task A_notice_outlives_kill_9_and_arrives_once_the_receiver_is_back_and_a_trial_is_told_of()
    {
        using var folder = new WorkFolder();
        var port = FreePort.Tcp();
        folder.Write("secret", Secret);
        folder.Write("design.yaml", FerryRamp.Design(FreePort.Udp()));
        folder.Write("settings.json", Settings(port, folder.At("secret")));
        JsonElement waiting = default;
        await using (var service = await FerryRamp.ServeAsync(folder))
        {
            await service.SeeAsync(
                "a notice that was tried and waits",
                "/api/v1/notices?state=waiting",
                page => (waiting = page.GetProperty("items").EnumerateArray().FirstOrDefault(n => n.GetProperty("attemptCount").GetInt32() > 0)).ValueKind == JsonValueKind.Object,
                Patience);
            Assert.Equal(("raised", "switch-silent"), (waiting.GetProperty("kind").GetString(), waiting.GetProperty("type").GetString()));
            var (_, health) = await service.Rest.SendAsync(HttpMethod.Get, "/api/v1/health");
            var part = Rest.Read(health).GetProperty("parts").EnumerateArray().Single(p => p.GetProperty("part").GetString() == "notices");
            Assert.Equal("degraded", part.GetProperty("status").GetString());
            Assert.Contains("operator/desk: not arriving since", part.GetProperty("detail").GetString(), StringComparison.Ordinal);
            await service.KillAsync();
            Assert.DoesNotContain(Secret, service.Output, StringComparison.Ordinal);
        }

        using var desk = new Desk(port);
        await using var again = await FerryRamp.ServeAsync(folder);
        var call = await Eventually.SeeAsync("the notice at the desk", () => Task.FromResult(desk.Calls.FirstOrDefault()), () => again.Output, Patience);
        var notice = JsonDocument.Parse(call.Body).RootElement.GetProperty("notices")[0];
        Assert.Equal(waiting.GetProperty("id").GetString(), notice.GetProperty("id").GetRawText());
        Assert.Equal("Ferry ramp", notice.GetProperty("place").GetString()!["pole ".Length..]);

        // RFC 2104 over the header's time, a full stop and the body, as docs/notices.md has it.
        using var hmac = new HMACSHA256(Encoding.UTF8.GetBytes(Secret));
        Assert.Equal($"v1={Convert.ToHexStringLower(hmac.ComputeHash(Encoding.UTF8.GetBytes($"{call.Time}.{call.Body}")))}", call.Signature);

        var (code, output) = await Service.RunAsync("try-notices", "--role", "operator", "--url", again.Address.ToString());
        Assert.True(code == 0, output);
        Assert.Contains("operator/desk: arrived.", output, StringComparison.Ordinal);
        Assert.Contains(desk.Calls, c => c.Body.Contains("\"kind\":\"trial\"", StringComparison.Ordinal));
    }

    private static string Settings(int port, string secretFile) => $$"""
        {
          "credentials": { "harbour": { "community": "{{SnmpdAgent.Community}}" } },
          "notices": {
            "channels": { "desk": { "kind": "webhook", "url": "http://127.0.0.1:{{port}}/hook", "secretFile": "{{secretFile}}" } },
            "roles": { "operator": { "channels": ["desk"] } },
            "retryFirst": "00:00:01", "retryMax": "00:00:10"
          }
        }
        """;

    private sealed record Call(string Time, string Signature, string Body);

    private sealed class Desk : IDisposable
    {
        private readonly HttpListener _listener = new();
        private readonly Task _running;

        public Desk(int port)
        {
            _listener.Prefixes.Add($"http://127.0.0.1:{port}/");
            _listener.Start();
            _running = ServeAsync();
        }

        public ConcurrentQueue<Call> Calls { get; } = [];

        public void Dispose()
        {
            _listener.Close();
            ((IAsyncResult)_running).AsyncWaitHandle.WaitOne();
        }

        private async Task ServeAsync()
        {
            try
            {
                while (true)
                {
                    HttpListenerContext context = await _listener.GetContextAsync();
                    using var reader = new StreamReader(context.Request.InputStream, Encoding.UTF8);
                    var body = await reader.ReadToEndAsync();
                    Calls.Enqueue(new Call(context.Request.Headers["PoeWatch-Time"]!, context.Request.Headers["PoeWatch-Signature"]!, body));
                    context.Response.StatusCode = 204;
                    context.Response.Close();
                }
            }
            catch (Exception closed) when (closed is HttpListenerException or ObjectDisposedException)
            {
                // The test is over.
            }
        }
    }
}
