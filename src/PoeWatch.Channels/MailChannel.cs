using System.Net.Sockets;
using MailKit;
using MailKit.Net.Smtp;
using MailKit.Security;
using MimeKit;
using PoeWatch.Monitoring.Abstractions;

namespace PoeWatch.Channels;

/// <summary>Where mail is handed over, and from whom to whom.</summary>
/// <param name="Security">StartTls or SslOnConnect, or None on loopback.</param>
/// <param name="User">None where the server asks for none.</param>
internal sealed record MailRoute(
    string Host, int Port, SecureSocketOptions Security, string? User, SecretFile? Password, MailboxAddress From, IReadOnlyList<MailboxAddress> To);

/// <summary>Hands notices to a mail server (RFC 5321) as plain text. The server's 250 after the text means that it has the mail.</summary>
internal sealed class MailChannel(string name, MailRoute route, string? caFile, TimeProvider time) : INoticeChannel
{
    private readonly System.Net.Security.RemoteCertificateValidationCallback? _trust = TrustedAuthorities.Of(caFile);

    public string Name => name;

    public async Task<Sending> SendAsync(NoticeMessage message, CancellationToken cancellationToken)
    {
        using MimeMessage mail = Mail(message);
        try
        {
            using var client = new SmtpClient { CheckCertificateRevocation = false };
            if (_trust is not null)
            {
                client.ServerCertificateValidationCallback = _trust;
            }

            await client.ConnectAsync(route.Host, route.Port, route.Security, cancellationToken);
            if (route.User is { } user)
            {
                await client.AuthenticateAsync(user, route.Password!.Read(), cancellationToken);
            }

            await client.SendAsync(mail, cancellationToken);
            await LeaveAsync(client, cancellationToken);
            return Sending.Sent;
        }
        catch (SmtpCommandException refused) when ((int)refused.StatusCode >= 500 && refused.ErrorCode != SmtpErrorCode.UnexpectedStatusCode)
        {
            return Sending.Refused(Said(refused));
        }
        catch (Exception away) when (away is SmtpCommandException or SmtpProtocolException or MailKit.Security.AuthenticationException or SslHandshakeException
            or ServiceNotConnectedException or ServiceNotAuthenticatedException or SocketException or IOException or NotSupportedException)
        {
            return Sending.Failed(Said(away));
        }
    }

    // The mail is handed over by then; a goodbye that fails takes nothing back.
    private static async Task LeaveAsync(SmtpClient client, CancellationToken cancellationToken)
    {
        try
        {
            await client.DisconnectAsync(quit: true, cancellationToken);
        }
        catch (Exception gone) when (gone is SmtpCommandException or SmtpProtocolException or SocketException or IOException or OperationCanceledException)
        {
            // Nothing to do.
        }
    }

    // The library's words on certificates are a page long: the first line says it.
    private string Said(Exception problem) => $"{route.Host}:{FormattableString.Invariant($"{route.Port}")}: {problem.Message.Split('\n')[0].Trim()}";

    private MimeMessage Mail(NoticeMessage message)
    {
        var first = message.Notices[0];
        var mail = new MimeMessage
        {
            Subject = message.Subject,
            Date = time.GetUtcNow(),

            // The same at each attempt: mail programs and people see a repetition as such.
            MessageId = FormattableString.Invariant($"notice-{first.Id}-{message.Notices[^1].Id}.{first.Content.At.ToUnixTimeSeconds()}@{route.From.Domain}"),
            Body = new TextPart("plain") { Text = message.Text.Body(message.Notices) },
        };
        mail.From.Add(route.From);
        mail.To.AddRange(route.To);

        // RFC 3834: no holiday answers, please.
        mail.Headers.Add("Auto-Submitted", "auto-generated");
        mail.Importance = message.Notices.Max(n => n.Content.Severity) >= Domain.Alarms.AlarmSeverity.Major ? MessageImportance.High : MessageImportance.Normal;
        return mail;
    }
}
