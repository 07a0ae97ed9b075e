using System.Globalization;
using System.Net;
using System.Net.Http.Headers;
using System.Text;
using System.Text.Json;

namespace PoeWatch.Acceptance.Tests.Support;

/// <summary>Calls the service as its users do: over HTTP, and reads what is on the wire rather than types shared with the service.</summary>
internal sealed class Rest(Uri address) : IDisposable
{
    private readonly HttpClient _client = new() { BaseAddress = address, Timeout = TimeSpan.FromSeconds(30) };

    /// <summary>The answer of a GET that must succeed.</summary>
    public async Task<JsonElement> GetAsync(string path)
    {
        var (status, body) = await SendAsync(HttpMethod.Get, path);
        Assert.True(status == HttpStatusCode.OK, $"GET {path} gave {(int)status}: {body}");
        return Read(body);
    }

    /// <summary>All items of a paged list.</summary>
    public async Task<IReadOnlyList<JsonElement>> ItemsAsync(string path)
    {
        var items = new List<JsonElement>();
        string? cursor = null;
        do
        {
            var next = cursor is null ? "" : $"{(path.Contains('?', StringComparison.Ordinal) ? '&' : '?')}cursor={Uri.EscapeDataString(cursor)}";
            var page = await GetAsync(path + next);
            items.AddRange(page.GetProperty("items").EnumerateArray());
            cursor = page.GetProperty("nextCursor").GetString();
        }
        while (cursor is not null);
        return items;
    }

    public async Task<(HttpStatusCode Status, string Body)> SendAsync(HttpMethod method, string path, string? body = null, string media = "application/json")
    {
        using var request = new HttpRequestMessage(method, path);
        if (body is not null)
        {
            request.Content = new StringContent(body, Encoding.UTF8);
            request.Content.Headers.ContentType = new MediaTypeHeaderValue(media);
        }

        using var answer = await _client.SendAsync(request, TestContext.Current.CancellationToken);
        return (answer.StatusCode, await answer.Content.ReadAsStringAsync(TestContext.Current.CancellationToken));
    }

    public static JsonElement Read(string body) => JsonDocument.Parse(body).RootElement;

    public static DateTimeOffset Time(JsonElement element, string property) =>
        DateTimeOffset.Parse(element.GetProperty(property).GetString()!, CultureInfo.InvariantCulture);

    public void Dispose() => _client.Dispose();
}
