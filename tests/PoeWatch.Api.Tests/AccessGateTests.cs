using System.Net;
using System.Net.Http.Headers;
using PoeWatch.Api.Access;
using PoeWatch.Api.Tests.Fakes;

namespace PoeWatch.Api.Tests;

public sealed class AccessGateTests
{
    private const string Ack = """{"state":"ack","text":""}""";
    private const string AckPath = "/api/v1/alarms/pole~quay-05~headroom-low/operator-state";

    private static readonly (string Key, string Hash) Reader = HashedKey.Draw("wall-screen");
    private static readonly (string Key, string Hash) Operator = HashedKey.Draw("nora");

    private static readonly ApiOptions WithKeys = new()
    {
        ListenAddress = "192.0.2.7",
        BehindTlsProxy = true,
        ServedNames = ["poe.skerry.example"],
        Keys = [new("wall-screen", ApiRole.Reader, Reader.Hash), new("nora", ApiRole.Operator, Operator.Hash)],
    };

    [Theory]
    [InlineData("localhost:8460")]
    [InlineData("127.0.0.1:8460")]
    [InlineData("[::1]:8460")]
    public async Task Loopback_names_are_served(string name)
    {
        await using var api = await ApiHarness.StartAsync();
        using var response = await api.Client.SendAsync(Get("/api/v1/site", name), ApiHarness.Token);
        Assert.Equal(HttpStatusCode.OK, response.StatusCode);
    }

    [Theory]
    [InlineData("evil.example")]
    [InlineData("localhost.evil.example:8460")]
    [InlineData("127.0.0.1.evil.example")]
    public async Task A_name_that_is_not_ours_is_refused_everywhere(string name)
    {
        await using var api = await ApiHarness.StartAsync();
        foreach (var path in new[] { "/", "/api/v1/site", "/api/v1/stream", "/openapi/v1.json", "/api/v1/health/live" })
        {
            await api.RefusedAsync(HttpStatusCode.MisdirectedRequest, Get(path, name));
        }
    }

    [Fact]
    public async Task A_served_name_is_taken()
    {
        await using var api = await ApiHarness.StartAsync(WithKeys);
        using var response = await api.Client.SendAsync(With(Get("/api/v1/site", "poe.skerry.example"), Reader.Key), ApiHarness.Token);
        Assert.Equal(HttpStatusCode.OK, response.StatusCode);
    }

    [Theory]
    [InlineData("Origin", "https://evil.example")]
    [InlineData("Origin", "null")]
    [InlineData("Origin", "http://localhost:9999")]
    [InlineData("Sec-Fetch-Site", "cross-site")]
    public async Task A_foreign_page_changes_nothing(string header, string value)
    {
        await using var api = await ApiHarness.StartAsync();
        var request = ApiHarness.Post(AckPath, Ack);
        request.Headers.Add(header, value);
        await api.RefusedAsync(HttpStatusCode.Forbidden, request);
        Assert.Empty(api.AlarmDesk.Asked);
    }

    [Fact]
    public async Task Our_own_page_may_change_something()
    {
        await using var api = await ApiHarness.StartAsync();
        var request = ApiHarness.Post(AckPath, Ack);
        request.Headers.Add("Origin", "http://localhost");
        request.Headers.Add("Sec-Fetch-Site", "same-origin");
        using var response = await api.Client.SendAsync(request, ApiHarness.Token);
        Assert.Equal(HttpStatusCode.OK, response.StatusCode);
    }

    [Theory]
    [InlineData("text/plain")]
    [InlineData("application/x-www-form-urlencoded")]
    public async Task Bodies_that_any_page_can_send_are_refused(string media)
    {
        await using var api = await ApiHarness.StartAsync();
        await api.RefusedAsync(HttpStatusCode.UnsupportedMediaType, ApiHarness.Post(AckPath, Ack, media));
        await api.RefusedAsync(HttpStatusCode.UnsupportedMediaType, new HttpRequestMessage(HttpMethod.Post, "/api/v1/design/reload"));
        Assert.Empty(api.DesignDesk.Applied);
    }

    [Theory]
    [InlineData("X-Forwarded-For", "192.0.2.9")]
    [InlineData("Forwarded", "for=192.0.2.9")]
    public async Task A_proxy_that_the_settings_do_not_state_is_refused(string header, string value)
    {
        await using var api = await ApiHarness.StartAsync();
        var request = Get("/api/v1/site", "localhost");
        request.Headers.Add(header, value);
        await api.RefusedAsync(HttpStatusCode.Forbidden, request);
    }

    [Theory]
    [InlineData(null)]
    [InlineData("Bearer nora.wrong")]
    [InlineData("Bearer nobody.wrong")]
    [InlineData("Bearer ")]
    [InlineData("Basic bm9yYTp4")]
    public async Task Without_a_known_key_nothing_is_told(string? authorization)
    {
        await using var api = await ApiHarness.StartAsync(WithKeys);
        foreach (var path in new[] { "/api/v1/site", "/api/v1/stream", "/api/v1/export.csv", "/api/v1/health", "/openapi/v1.json", "/metrics" })
        {
            var request = Get(path, "192.0.2.7");
            if (authorization is not null)
            {
                request.Headers.TryAddWithoutValidation("Authorization", authorization);
            }

            await api.RefusedAsync(HttpStatusCode.Unauthorized, request);
        }
    }

    [Theory]
    [InlineData("/api/v1/health/live")]
    [InlineData("/api/v1/health/ready")]
    [InlineData("/")]
    public async Task Live_ready_and_the_bare_page_need_no_key(string path)
    {
        await using var api = await ApiHarness.StartAsync(WithKeys);
        using var response = await api.Client.SendAsync(Get(path, "192.0.2.7"), ApiHarness.Token);
        Assert.Equal(HttpStatusCode.OK, response.StatusCode);
    }

    [Fact]
    public async Task Role_decides_and_the_key_names_who_acknowledges()
    {
        await using var api = await ApiHarness.StartAsync(WithKeys);
        await api.RefusedAsync(HttpStatusCode.Forbidden, With(ApiHarness.Post(AckPath, Ack), Reader.Key));
        for (var i = 0; i < 2; i++)
        {
            using var response = await api.Client.SendAsync(With(ApiHarness.Post(AckPath, Ack), Operator.Key), ApiHarness.Token);
            Assert.Equal(HttpStatusCode.OK, response.StatusCode);
        }

        Assert.All(api.AlarmDesk.Asked, a => Assert.Equal("nora", a.Who));
        var posted = ApiHarness.Post("/api/v1/conditions/wet", """{"holds": true, "until": "2026-11-25T06:00:00Z"}""");
        posted.Method = HttpMethod.Put;
        using (var response = await api.Client.SendAsync(With(posted, Operator.Key), ApiHarness.Token))
        {
            Assert.Equal(HttpStatusCode.OK, response.StatusCode);
        }

        Assert.Equal("nora", Assert.Single(api.Conditions.Words).Who);
        await api.RefusedAsync(HttpStatusCode.Forbidden, With(new HttpRequestMessage(HttpMethod.Delete, "/api/v1/conditions/wet"), Reader.Key));
        await api.RefusedAsync(HttpStatusCode.Forbidden, With(ApiHarness.Post("/api/v1/design/reload", "{}"), Operator.Key));
        Assert.Empty(api.DesignDesk.Applied);
    }

    [Fact]
    public async Task Every_answer_carries_the_security_headers()
    {
        await using var api = await ApiHarness.StartAsync();
        foreach (var path in new[] { "/", "/api/v1/site", "/api/v1/poles/none", "/nothing" })
        {
            using var response = await api.Client.GetAsync(path, ApiHarness.Token);
            var policy = Assert.Single(response.Headers.GetValues("Content-Security-Policy"));
            Assert.Contains("script-src 'self';", policy, StringComparison.Ordinal);
            Assert.DoesNotContain("unsafe", policy, StringComparison.Ordinal);
            Assert.Equal("nosniff", Assert.Single(response.Headers.GetValues("X-Content-Type-Options")));
            Assert.False(response.Headers.Contains("Access-Control-Allow-Origin"));
        }
    }

    private static HttpRequestMessage Get(string path, string name) => new(HttpMethod.Get, path) { Headers = { Host = name } };

    private static HttpRequestMessage With(HttpRequestMessage request, string key)
    {
        request.Headers.Authorization = new AuthenticationHeaderValue("Bearer", key);
        return request;
    }
}
