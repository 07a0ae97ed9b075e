using System.Buffers;
using System.Collections.Concurrent;
using System.Net;
using System.Security.Cryptography.X509Certificates;
using MimeKit;
using SmtpServer;
using SmtpServer.Authentication;
using SmtpServer.ComponentModel;
using SmtpServer.Protocol;
using SmtpServer.Storage;

namespace PoeWatch.Channels.Tests.Receivers;

/// <summary>A mail server (the library SmtpServer) that asks for TLS and a user.</summary>
internal sealed class MailReceiver : IAsyncDisposable
{
    public const string User = "poewatch";
    public const string Password = "quay-lantern-77";

    private readonly SmtpServer.SmtpServer _server;
    private readonly Task _running;
    private readonly CancellationTokenSource _stop = new();
    private readonly Inbox _inbox = new();

    private MailReceiver(int port, X509Certificate2 certificate, bool isImplicitTls, SmtpResponse? answer)
    {
        _inbox.Answer = answer ?? SmtpResponse.Ok;
        ISmtpServerOptions options = new SmtpServerOptionsBuilder()
            .ServerName("localhost")
            .Endpoint(endpoint => endpoint.Endpoint(new IPEndPoint(IPAddress.Loopback, port)).IsSecure(isImplicitTls).AuthenticationRequired(true).Certificate(certificate))
            .Build();
        var services = new ServiceProvider();
        services.Add((IMessageStore)_inbox);
        services.Add((IUserAuthenticator)new DelegatingUserAuthenticator((user, password) => user == User && password == Password));
        _server = new SmtpServer.SmtpServer(options, services);
        _running = _server.StartAsync(_stop.Token);
    }

    public IReadOnlyList<MimeMessage> Mails => [.. _inbox.Mails];

    public static MailReceiver Start(int port, X509Certificate2 certificate, bool isImplicitTls = false, SmtpResponse? answer = null) =>
        new(port, certificate, isImplicitTls, answer);

    public async ValueTask DisposeAsync()
    {
        _server.Shutdown();
        await _stop.CancelAsync();
        await _running.ConfigureAwait(ConfigureAwaitOptions.SuppressThrowing);
        _stop.Dispose();
    }

    private sealed class Inbox : MessageStore
    {
        public ConcurrentQueue<MimeMessage> Mails { get; } = [];

        public SmtpResponse Answer { get; set; } = SmtpResponse.Ok;

        public override Task<SmtpResponse> SaveAsync(
            ISessionContext context, IMessageTransaction transaction, ReadOnlySequence<byte> buffer, CancellationToken cancellationToken)
        {
            if (Answer == SmtpResponse.Ok)
            {
                using var text = new MemoryStream(buffer.ToArray());
                Mails.Enqueue(MimeMessage.Load(text, cancellationToken));
            }

            return Task.FromResult(Answer);
        }
    }
}
