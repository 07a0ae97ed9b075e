using System.Collections.Concurrent;
using System.Globalization;
using System.Net;
using System.Net.Security;
using System.Net.Sockets;
using System.Security.Authentication;
using System.Security.Cryptography.X509Certificates;
using System.Text;

namespace PoeWatch.Channels.Tests.Receivers;

/// <summary>A syslog receiver over TLS that reads the octet-counted frames of RFC 5425, written from the RFC and not from the sender.</summary>
internal sealed class SyslogReceiver : IAsyncDisposable
{
    private readonly TcpListener _listener;
    private readonly CancellationTokenSource _stop = new();
    private readonly ConcurrentQueue<string> _messages = [];
    private readonly Task _running;

    private SyslogReceiver(int port, X509Certificate2 certificate, bool isDropping)
    {
        _listener = new TcpListener(IPAddress.Loopback, port);
        _listener.Start();
        _running = ServeAsync(certificate, isDropping);
    }

    public IReadOnlyList<string> Messages => [.. _messages];

    /// <param name="isDropping">Resets each connection once it is open, as a receiver that dies.</param>
    public static SyslogReceiver Start(int port, X509Certificate2 certificate, bool isDropping = false) => new(port, certificate, isDropping);

    public async ValueTask DisposeAsync()
    {
        await _stop.CancelAsync();
        _listener.Stop();
        await _running.ConfigureAwait(ConfigureAwaitOptions.SuppressThrowing);
        _stop.Dispose();
    }

    private async Task ServeAsync(X509Certificate2 certificate, bool isDropping)
    {
        while (!_stop.IsCancellationRequested)
        {
            using TcpClient client = await _listener.AcceptTcpClientAsync(_stop.Token);
            try
            {
                await using var tls = new SslStream(client.GetStream());
                await tls.AuthenticateAsServerAsync(new SslServerAuthenticationOptions { ServerCertificate = certificate }, _stop.Token);
                if (isDropping)
                {
                    client.LingerState = new LingerOption(true, 0);
                    client.Client.Close();
                    continue;
                }

                while (await FrameAsync(tls) is { } message)
                {
                    _messages.Enqueue(message);
                }

                // RFC 5425 section 4.4: a close_notify is answered with one.
                await tls.ShutdownAsync();
            }
            catch (Exception gone) when (gone is IOException or AuthenticationException)
            {
                // The sender went, or did not like the certificate.
            }
        }
    }

    private async Task<string?> FrameAsync(SslStream tls)
    {
        var octet = new byte[1];
        var length = new StringBuilder();
        while (await tls.ReadAsync(octet, _stop.Token) == 1)
        {
            if (octet[0] != ' ')
            {
                length.Append((char)octet[0]);
                continue;
            }

            var message = new byte[int.Parse(length.ToString(), NumberStyles.None, CultureInfo.InvariantCulture)];
            await tls.ReadExactlyAsync(message, _stop.Token);
            return Encoding.UTF8.GetString(message);
        }

        return null;
    }
}
