using System.CommandLine;
using System.CommandLine.Parsing;
using System.Net;
using System.Net.Http.Headers;
using System.Text.Json;
using PoeWatch.Server.Settings;

namespace PoeWatch.Server.Commands;

/// <summary>Calls a running service for the commands that need one.</summary>
internal static class ServiceClient
{
    public static Option<Uri> UrlOption() => new("--url")
    {
        Description = "Address of the running service.",
        DefaultValueFactory = _ => new Uri("http://127.0.0.1:8460"),
        CustomParser = Url,
    };

    public static Option<string?> KeyFileOption() => new("--key-file") { Description = "File that holds the key, where the service asks for one." };

    public static HttpClient Create(Uri url, string? keyFile)
    {
        var client = new HttpClient { BaseAddress = url, Timeout = TimeSpan.FromMinutes(30) };
        if (keyFile is not null)
        {
            try
            {
                client.DefaultRequestHeaders.Authorization = new AuthenticationHeaderValue("Bearer", File.ReadAllText(keyFile).Trim());
            }
            catch (Exception unreadable) when (unreadable is IOException or UnauthorizedAccessException)
            {
                throw new SettingsException($"--key-file: '{keyFile}' cannot be read: {unreadable.Message}", unreadable);
            }
        }

        return client;
    }

    /// <summary>Sends and explains what went wrong on the way.</summary>
    public static async Task<HttpResponseMessage> SendAsync(HttpClient client, HttpRequestMessage request, CancellationToken stop)
    {
        try
        {
            HttpResponseMessage answer = await client.SendAsync(request, HttpCompletionOption.ResponseHeadersRead, stop);
            return answer.StatusCode != HttpStatusCode.Unauthorized
                ? answer
                : throw new SettingsException($"The service at {client.BaseAddress} asks for a key. Give one with --key-file.");
        }
        catch (HttpRequestException away)
        {
            throw new SettingsException($"No service answers at {client.BaseAddress}: {away.Message.TrimEnd('.')}. Start it with 'poewatch serve', or name another with --url.", away);
        }
    }

    /// <summary>What the service says in a refusal: the detail of its problem document (RFC 9457), else the answer as it came.</summary>
    public static async Task<string> RefusalAsync(HttpResponseMessage answer, CancellationToken stop)
    {
        var text = await answer.Content.ReadAsStringAsync(stop);
        try
        {
            using JsonDocument problem = JsonDocument.Parse(text);
            return problem.RootElement.TryGetProperty("detail", out JsonElement detail) && detail.GetString() is { Length: > 0 } told ? told : text;
        }
        catch (JsonException)
        {
            return text;
        }
    }

    private static Uri? Url(ArgumentResult written)
    {
        var text = written.Tokens[0].Value;
        if (Uri.TryCreate(text, UriKind.Absolute, out Uri? url) && url.Scheme is "http" or "https")
        {
            return url;
        }

        written.AddError($"--url: '{text}' is no http or https address. Write one such as http://127.0.0.1:8460.");
        return null;
    }
}
