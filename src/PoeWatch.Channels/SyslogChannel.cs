using System.Net.Security;
using System.Net.Sockets;
using System.Security.Authentication;
using PoeWatch.Monitoring.Abstractions;

namespace PoeWatch.Channels;

/// <summary>
/// Sends notices to a syslog receiver over TLS (RFC 5424, RFC 5425). Syslog has no acknowledgement: what counts as one is that the receiver
/// closes its side in order after ours was closed, for a receiver that dies with unread octets resets the connection.
/// </summary>
internal sealed class SyslogChannel(string name, string host, int port, int facility, string? caFile) : INoticeChannel
{
    private readonly RemoteCertificateValidationCallback? _trust = TrustedAuthorities.Of(caFile);

    public string Name => name;

    public async Task<Sending> SendAsync(NoticeMessage message, CancellationToken cancellationToken)
    {
        try
        {
            using var client = new TcpClient { NoDelay = true };
            await client.ConnectAsync(host, port, cancellationToken);
            await using var tls = new SslStream(client.GetStream(), leaveInnerStreamOpen: true);
            var options = new SslClientAuthenticationOptions
            {
                TargetHost = host,
                EnabledSslProtocols = SslProtocols.Tls12 | SslProtocols.Tls13,
                RemoteCertificateValidationCallback = _trust,
            };
            await tls.AuthenticateAsClientAsync(options, cancellationToken);
            foreach (var notice in message.Notices)
            {
                var line = SyslogText.Of(notice, facility, Environment.MachineName, message.Text.AddressOf(notice.Content));
                await tls.WriteAsync(SyslogText.Frame(line), cancellationToken);
            }

            await tls.FlushAsync(cancellationToken);
            await tls.ShutdownAsync();
            await ReadToEndAsync(tls, cancellationToken);
            return Sending.Sent;
        }
        catch (Exception away) when (away is SocketException or IOException or AuthenticationException)
        {
            return Sending.Failed(FormattableString.Invariant($"{host}:{port}: {away.Message} {away.InnerException?.Message}").TrimEnd());
        }
    }

    private static async Task ReadToEndAsync(SslStream tls, CancellationToken cancellationToken)
    {
        var nothing = new byte[256];
        while (await tls.ReadAsync(nothing, cancellationToken) > 0)
        {
            // A receiver of syslog says nothing; what it says all the same is not listened to.
        }
    }
}
