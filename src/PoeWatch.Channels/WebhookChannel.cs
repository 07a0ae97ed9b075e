using System.Globalization;
using System.Net;
using System.Net.Http.Headers;
using PoeWatch.Monitoring.Abstractions;

namespace PoeWatch.Channels;

/// <summary>Posts notices as signed JSON. Any 2xx means that the receiver has it. Redirects are not followed: a signed body goes where it was meant to.</summary>
internal sealed class WebhookChannel : INoticeChannel, IDisposable
{
    private readonly Uri _url;
    private readonly SecretFile _secret;
    private readonly TimeProvider _time;
    private readonly HttpClient _client;

    /// <param name="caFile">Authorities of the operator's own, or null.</param>
    public WebhookChannel(string name, Uri url, SecretFile secret, string? caFile, TimeProvider time)
    {
        (Name, _url, _secret, _time) = (name, url, secret, time);
        var handler = new SocketsHttpHandler { AllowAutoRedirect = false, UseCookies = false, PooledConnectionLifetime = TimeSpan.FromMinutes(5) };
        handler.SslOptions.RemoteCertificateValidationCallback = TrustedAuthorities.Of(caFile);
        _client = new HttpClient(handler) { Timeout = Timeout.InfiniteTimeSpan };
    }

    public string Name { get; }

    public async Task<Sending> SendAsync(NoticeMessage message, CancellationToken cancellationToken)
    {
        byte[] body = WebhookBody.Of(message);
        var now = _time.GetUtcNow().ToUnixTimeSeconds();
        try
        {
            using var request = new HttpRequestMessage(HttpMethod.Post, _url) { Content = new ByteArrayContent(body) };
            request.Content.Headers.ContentType = new MediaTypeHeaderValue("application/json");
            request.Headers.Add(WebhookSignature.TimeHeader, now.ToString(CultureInfo.InvariantCulture));
            request.Headers.Add(WebhookSignature.SignatureHeader, WebhookSignature.Of(_secret.Read(), now, body));
            using HttpResponseMessage answer = await _client.SendAsync(request, HttpCompletionOption.ResponseHeadersRead, cancellationToken);
            var said = FormattableString.Invariant($"{_url.Host} answered {(int)answer.StatusCode} {answer.ReasonPhrase}.");
            return answer.IsSuccessStatusCode ? Sending.Sent
                : IsAboutTheBody(answer.StatusCode) ? Sending.Refused(said)
                : Sending.Failed(said);
        }
        catch (HttpRequestException away)
        {
            return Sending.Failed($"{_url.Host}: {away.Message} {away.InnerException?.Message}".TrimEnd());
        }
        catch (IOException away)
        {
            return Sending.Failed(away.Message);
        }
    }

    public void Dispose() => _client.Dispose();

    // Waiting does not help where the receiver dislikes this body; all else (no access, not there, busy) may be mended over there.
    private static bool IsAboutTheBody(HttpStatusCode status) =>
        status is HttpStatusCode.BadRequest or HttpStatusCode.RequestEntityTooLarge or HttpStatusCode.UnsupportedMediaType or HttpStatusCode.UnprocessableEntity;
}
