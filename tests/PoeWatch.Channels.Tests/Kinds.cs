using PoeWatch.Channels.Tests.Receivers;
using PoeWatch.Monitoring.Abstractions;
using PoeWatch.Monitoring.Notices;
using PoeWatch.Snmp;

namespace PoeWatch.Channels.Tests;

/// <summary>The three kinds of channels with a real receiver each, made from settings as the service makes them.</summary>
internal static class Kinds
{
    public const string Secret = "a secret of the test, long enough";

    public static INoticeChannel Channel(string kind, int port, TestAuthority authority, TimeProvider time, Action<NoticeChannelOptions>? change = null)
    {
        var setting = new NoticeChannelOptions
        {
            Kind = kind.Split('-')[0],
            Url = $"https://localhost:{port}/hook",
            SecretFile = authority.SecretFile(Secret),
            Server = "localhost",
            Port = port,
            CaFile = authority.PemFile,
        };
        if (setting.Kind == "mail")
        {
            setting.Security = kind == "mail-tls" ? "tls" : "starttls";
            setting.User = MailReceiver.User;
            setting.PasswordFile = authority.SecretFile(MailReceiver.Password);
            setting.From = "PoeWatch <poewatch@skerryhaven.example>";
            setting.To = ["desk@skerryhaven.example"];
        }

        change?.Invoke(setting);
        var options = new NoticeOptions { Channels = { ["out"] = setting } };
        INoticeChannel[] channels = [.. ChannelFactory.Create(options, new Community(), time, out var problems)];
        Assert.Empty(problems);
        return Assert.Single(channels);
    }

    /// <summary>A receiver, and what it has taken: one text for each message.</summary>
    public static async Task<(IAsyncDisposable Receiver, Func<IReadOnlyList<string>> Taken)> ReceiverAsync(
        string kind, int port, System.Security.Cryptography.X509Certificates.X509Certificate2 certificate)
    {
        switch (kind)
        {
            case "webhook":
                WebhookReceiver hook = await WebhookReceiver.StartAsync(port, certificate);
                return (hook, () => [.. hook.Calls.SelectMany(c => c.Notices).Select(n => n.ToString())]);
            case "syslog":
                SyslogReceiver syslog = SyslogReceiver.Start(port, certificate);
                return (syslog, () => syslog.Messages);
            default:
                MailReceiver mail = MailReceiver.Start(port, certificate, isImplicitTls: kind == "mail-tls");
                return (mail, () => [.. mail.Mails.Select(m => m.TextBody!)]);
        }
    }

    /// <summary>One entry of credentials, "manager".</summary>
    internal sealed class Community : ICredentialSource
    {
        public const string Word = "quay-signal";

        public SnmpCredentials? Find(string name, out string problem)
        {
            problem = name == "manager" ? "" : $"There are no credentials '{name}'.";
            return name == "manager" ? new CommunityCredentials(Word) : null;
        }
    }
}
