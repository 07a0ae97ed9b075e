using System.Collections.Immutable;
using System.Net;
using MailKit.Security;
using MimeKit;
using PoeWatch.Monitoring.Abstractions;
using PoeWatch.Monitoring.Notices;

namespace PoeWatch.Channels;

/// <summary>Makes the channels that the settings name.</summary>
public static class ChannelFactory
{
    private const int SecretLengthMin = 16;

    /// <summary>Every channel that can be made; what is wrong with the others stands in <paramref name="problems"/>, with place, value and remedy.</summary>
    public static ImmutableArray<INoticeChannel> Create(
        NoticeOptions options, ICredentialSource credentials, TimeProvider time, out ImmutableArray<string> problems)
    {
        var channels = ImmutableArray.CreateBuilder<INoticeChannel>();
        var wrong = ImmutableArray.CreateBuilder<string>();
        if (options.DashboardUrl is { } address && !IsHttp(address))
        {
            wrong.Add($"notices.dashboardUrl: '{address}' is no http or https URL. Write one such as https://poewatch.example/.");
        }

        foreach (var (name, setting) in options.Channels.OrderBy(c => c.Key, StringComparer.Ordinal))
        {
            try
            {
                channels.Add(setting.Kind switch
                {
                    "webhook" => Webhook(name, setting, time),
                    "mail" => Mail(name, setting, time),
                    "syslog" => Syslog(name, setting),
                    "snmp" => Snmp(name, setting, credentials, time),
                    _ => throw new ChannelSettingsException($"kind: '{setting.Kind}' is no kind of channel. Write webhook, mail, syslog or snmp."),
                });
            }
            catch (ChannelSettingsException refused)
            {
                wrong.Add($"notices.channels.{name}.{refused.Message}");
            }
        }

        foreach (var (role, _) in options.Roles.Where(r => (r.Value.OperatorStates || r.Value.Topics.Count > 0) && r.Value.Channels.Any(c => options.Channels.GetValueOrDefault(c) is { Kind: "snmp", Arc: null })))
        {
            wrong.Add($"notices.roles.{role}.channels: a channel of kind snmp tells neither operatorStates nor topics: the ALARM-MIB has no words for them. Give the channel an arc that you own, or make a role of its own for it.");
        }

        problems = wrong.ToImmutable();
        return channels.ToImmutable();
    }

    private static WebhookChannel Webhook(string name, NoticeChannelOptions setting, TimeProvider time)
    {
        if (!IsHttp(setting.Url) || new Uri(setting.Url!) is not { } url || (url.Scheme == Uri.UriSchemeHttp && !url.IsLoopback))
        {
            throw new ChannelSettingsException($"url: '{setting.Url}' cannot be used. Write an https URL; http is taken on loopback only.");
        }

        return url.UserInfo.Length == 0
            ? new WebhookChannel(name, url, Secret("secretFile", setting.SecretFile, SecretLengthMin), setting.CaFile, time)
            : throw new ChannelSettingsException("url: holds a user or password, which would come into logs. Take it out; the body is signed with secretFile.");
    }

    private static MailChannel Mail(string name, NoticeChannelOptions setting, TimeProvider time)
    {
        var server = Server(setting);
        SecureSocketOptions security = setting.Security switch
        {
            "starttls" => SecureSocketOptions.StartTls,
            "tls" => SecureSocketOptions.SslOnConnect,
            "none" when IsLoopback(server) => SecureSocketOptions.None,
            "none" => throw new ChannelSettingsException($"security: 'none' is taken on loopback only, not for '{server}'. Write starttls or tls."),
            _ => throw new ChannelSettingsException($"security: '{setting.Security}' is unknown. Write starttls, tls, or none for a server on loopback."),
        };
        if (setting.User is null != setting.PasswordFile is null)
        {
            throw new ChannelSettingsException("user: and passwordFile belong together. Set both, or neither.");
        }

        MailboxAddress[] to = [.. setting.To.Select(address => Mailbox("to", address))];
        return to.Length == 0
            ? throw new ChannelSettingsException("to: is empty. Name at least one mail address.")
            : new MailChannel(
                name,
                new MailRoute(
                    server,
                    setting.Port ?? (security == SecureSocketOptions.SslOnConnect ? 465 : 587),
                    security,
                    setting.User,
                    setting.PasswordFile is null ? null : Secret("passwordFile", setting.PasswordFile, 1),
                    Mailbox("from", setting.From),
                    to),
                setting.CaFile,
                time);
    }

    private static SyslogChannel Syslog(string name, NoticeChannelOptions setting) => setting.Facility is >= 0 and <= 23
        ? new SyslogChannel(name, Server(setting), setting.Port ?? 6514, setting.Facility, setting.CaFile)
        : throw new ChannelSettingsException(FormattableString.Invariant($"facility: {setting.Facility} is none of RFC 5424. Write 0 to 23, 16 for local0."));

    // Asked at each message, so that a changed secret needs no restart.
    private static SnmpChannel Snmp(string name, NoticeChannelOptions setting, ICredentialSource credentials, TimeProvider time)
    {
        if (setting.Credentials is not { } wanted)
        {
            throw new ChannelSettingsException("credentials: is not set. Name an entry of credentials that the receiver knows.");
        }

        if (credentials.Find(wanted, out var problem) is null)
        {
            throw new ChannelSettingsException($"credentials: {problem}");
        }

        var server = Server(setting);
        ArcNotification? arc = setting.Arc is { } written
            ? new ArcNotification(ArcNotification.Read(written, IsLoopback(server), out var wrong) ?? throw new ChannelSettingsException(wrong))
            : null;
        return new SnmpChannel(name, server, setting.Port ?? 162, () => (credentials.Find(wanted, out var trouble), trouble), time, arc);
    }

    private static bool IsHttp(string? text) => Uri.TryCreate(text, UriKind.Absolute, out Uri? uri) && uri.Scheme is "http" or "https";

    private static string Server(NoticeChannelOptions setting) =>
        setting.Port is < 1 or > 65535 ? throw new ChannelSettingsException(FormattableString.Invariant($"port: {setting.Port} is no port. Write 1 to 65535."))
        : Uri.CheckHostName(setting.Server) == UriHostNameType.Unknown ? throw new ChannelSettingsException($"server: '{setting.Server}' is no name or address. Write the receiver's DNS name.")
        : setting.Server!;

    private static bool IsLoopback(string server) =>
        server.Equals("localhost", StringComparison.OrdinalIgnoreCase) || (IPAddress.TryParse(server, out IPAddress? address) && IPAddress.IsLoopback(address));

    private static MailboxAddress Mailbox(string setting, string? address) =>
        MailboxAddress.TryParse(address, out MailboxAddress? found) && found.Domain.Length > 0
            ? found
            : throw new ChannelSettingsException($"{setting}: '{address}' is no mail address. Write one such as desk@harbour.example.");

    // Read once at the start, so that a wrong path is told there and not at the first alarm.
    private static SecretFile Secret(string setting, string? path, int lengthMin)
    {
        if (path is null)
        {
            throw new ChannelSettingsException($"{setting}: is not set. Name a file that holds the secret.");
        }

        var secret = new SecretFile(path);
        try
        {
            return secret.Read().Length >= lengthMin
                ? secret
                : throw new ChannelSettingsException(FormattableString.Invariant($"{setting}: the secret in '{path}' is shorter than {lengthMin} characters. Draw a longer one."));
        }
        catch (IOException unreadable)
        {
            throw new ChannelSettingsException($"{setting}: {unreadable.Message}", unreadable);
        }
    }
}
