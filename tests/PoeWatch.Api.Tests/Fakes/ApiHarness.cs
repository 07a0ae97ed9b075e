using System.Net;
using System.Net.Http.Headers;
using System.Text;
using System.Text.Json;
using Microsoft.AspNetCore.Builder;
using Microsoft.AspNetCore.TestHost;
using Microsoft.Extensions.DependencyInjection;
using Microsoft.Extensions.Logging;
using Microsoft.Extensions.Time.Testing;
using PoeWatch.Monitoring.Abstractions;
using PoeWatch.Monitoring.Rollups;
using PoeWatch.TestKit.Stores;

namespace PoeWatch.Api.Tests.Fakes;

/// <summary>The whole API in memory over fakes of its seams. One test owns it.</summary>
internal sealed class ApiHarness : IAsyncDisposable
{
    private readonly WebApplication _app;

    private ApiHarness(WebApplication app, FakeSite site, FakeAlarmDesk alarms, FakeDesignDesk design, FakeStores stores, FakeHealth health, FakeTimeProvider time)
    {
        (_app, Site, AlarmDesk, DesignDesk, Stores, Health, Time) = (app, site, alarms, design, stores, health, time);
        Client = app.GetTestClient();
    }

    public FakeSite Site { get; }

    public FakeAlarmDesk AlarmDesk { get; }

    public FakeDesignDesk DesignDesk { get; }

    public FakeStores Stores { get; }

    /// <summary>Where rollups are; the history stays in <see cref="Stores"/>.</summary>
    public required MemoryStore Rollups { get; init; }

    public required FakeConditions Conditions { get; init; }

    public required FakeEvidence Evidence { get; init; }
    public required FakeNotices Notices { get; init; }

    public required FakePolls Polls { get; init; }

    public FakeHealth Health { get; }

    public FakeTimeProvider Time { get; }

    public HttpClient Client { get; }

    public static CancellationToken Token => TestContext.Current.CancellationToken;

    public IServiceProvider Services => _app.Services;

    public static async Task<ApiHarness> StartAsync(ApiOptions? options = null, SiteView? view = null)
    {
        var site = new FakeSite(view ?? Harbour.View());
        var (alarms, design, stores, health, time) = (new FakeAlarmDesk(site), new FakeDesignDesk(), new FakeStores(), new FakeHealth(), new FakeTimeProvider(Harbour.Now));
        var conditions = new FakeConditions(site, time);
        var evidence = new FakeEvidence();
        var polls = new FakePolls();
        var rollups = new MemoryStore();
        var notices = new FakeNotices();
        var builder = WebApplication.CreateSlimBuilder();
        builder.WebHost.UseTestServer();
        builder.Logging.ClearProviders();
        builder.Services
            .AddSingleton<TimeProvider>(time).AddSingleton<ISiteView>(site).AddSingleton<IAlarmDesk>(alarms).AddSingleton<IDesignDesk>(design)
            .AddSingleton<IMaintenanceDesk>(new FakeMaintenance(site, time)).AddSingleton(new PoeWatch.Domain.Alarms.AlarmTimings())
            .AddSingleton<IConditionDesk>(conditions).AddSingleton<IConditionStore>(conditions)
            .AddSingleton<IEvidenceExports>(evidence).AddSingleton<IEvidenceReports>(evidence)
            .AddSingleton<IPollCounts>(polls).AddSingleton<IAgentChangeStore>(stores)
            .AddSingleton<IHistoryStore>(stores).AddSingleton<IAlarmStore>(stores).AddSingleton<IDesignStore>(stores).AddSingleton<IServiceHealth>(health)
            .AddSingleton<IRollupStore>(rollups).AddSingleton<IDesignSource, FakeDesignSource>()
            .AddSingleton<DesignTimeline>().AddSingleton<RollupMaker>().AddSingleton<RollupReader>()
            .AddSingleton<INoticeDesk>(notices)
            .AddPoeWatchApi(options ?? new ApiOptions());
        var app = builder.Build();
        app.MapPoeWatchApi();
        await app.StartAsync(Token);
        return new ApiHarness(app, site, alarms, design, stores, health, time)
        {
            Conditions = conditions, Evidence = evidence, Polls = polls, Rollups = rollups, Notices = notices,
        };
    }

    /// <summary>GET that must succeed, as JSON.</summary>
    public async Task<JsonElement> GetAsync(string path)
    {
        using var response = await Client.GetAsync(path, Token);
        var text = await response.Content.ReadAsStringAsync(Token);
        Assert.True(response.StatusCode == HttpStatusCode.OK, $"{path}: {(int)response.StatusCode} {text}");
        return JsonDocument.Parse(text).RootElement;
    }

    /// <summary>A call that must be refused with that status, as problem details; their form is checked here for every test.</summary>
    public async Task<JsonElement> RefusedAsync(HttpStatusCode status, HttpRequestMessage request)
    {
        using var response = await Client.SendAsync(request, Token);
        var text = await response.Content.ReadAsStringAsync(Token);
        Assert.True(response.StatusCode == status, $"{request.RequestUri}: {(int)response.StatusCode} {text}");
        Assert.Equal("application/problem+json", response.Content.Headers.ContentType?.MediaType);
        var problem = JsonDocument.Parse(text).RootElement;
        Assert.Equal((int)status, problem.GetProperty("status").GetInt32());
        foreach (var member in new[] { "type", "title", "detail", "place", "remedy" })
        {
            Assert.False(string.IsNullOrWhiteSpace(problem.GetProperty(member).GetString()), $"{member} is empty in {text}");
        }

        using var explained = await Client.GetAsync(problem.GetProperty("type").GetString(), Token);
        Assert.Equal(HttpStatusCode.OK, explained.StatusCode);
        return problem;
    }

    public Task<JsonElement> RefusedAsync(HttpStatusCode status, string path) => RefusedAsync(status, new HttpRequestMessage(HttpMethod.Get, path));

    public static HttpRequestMessage Post(string path, string body, string media = "application/json") => new(HttpMethod.Post, path)
    {
        Content = new StringContent(body, Encoding.UTF8) { Headers = { ContentType = new MediaTypeHeaderValue(media) } },
    };

    public async ValueTask DisposeAsync()
    {
        Client.Dispose();
        await _app.DisposeAsync();
    }
}
