using System.Collections.Frozen;
using System.Net;
using System.Net.Sockets;
using Microsoft.Extensions.Hosting;
using Microsoft.Extensions.Logging;
using Microsoft.Extensions.Options;
using PoeWatch.Monitoring.Abstractions;
using PoeWatch.Monitoring.Polling;
using PoeWatch.Monitoring.Telemetry;
using PoeWatch.Snmp.Notifications;

namespace PoeWatch.Monitoring.Notifications;

/// <summary>
/// Listens for notifications of the agents of the design in force, where that is switched on. A notification is only ever a reason to poll its switch
/// at once: nothing that it says is shown, kept or alarmed. Thread safe where public.
/// </summary>
public sealed partial class NotificationLoop : BackgroundService, INotificationListener
{
    // How soon a new design is followed, and how often DNS is asked.
    private static readonly TimeSpan s_beat = TimeSpan.FromSeconds(1);
    private static readonly TimeSpan s_resolveAgain = TimeSpan.FromMinutes(5);

    private readonly PollLoop _polls;
    private readonly ICredentialSource _credentials;
    private readonly NotificationOptions _options;
    private readonly NotificationMetrics _metrics;
    private readonly Lazy<EngineIdentity> _identity;
    private readonly TimeProvider _time;
    private readonly long _start;
    private readonly ILogger<NotificationLoop> _log;
    private readonly RefusalTalk _talk = new();
    private SenderBook _book = SenderBook.Empty;
    private IReadOnlyDictionary<string, IPAddress> _resolved = FrozenDictionary<string, IPAddress>.Empty;
    private NotificationReceiver? _receiver;

    /// <param name="identity">Asked for only where it listens: a start of its own is counted.</param>
    public NotificationLoop(
        PollLoop polls, ICredentialSource credentials, IOptions<NotificationOptions> options, NotificationMetrics metrics, Lazy<EngineIdentity> identity,
        TimeProvider time, ILogger<NotificationLoop> log)
    {
        (_polls, _credentials, _options, _metrics, _identity, _time, _log) = (polls, credentials, options.Value, metrics, identity, time, log);
        _start = time.GetTimestamp();
    }

    /// <summary>Where it listens; null where it does not.</summary>
    public IPEndPoint? LocalEndPoint => _receiver?.LocalEndPoint;

    /// <summary>Counters of the receiver; null where it does not listen.</summary>
    public NotificationStatistics? Statistics => _receiver?.Statistics;

    /// <exception cref="IOException">The address cannot be listened on; the message names it.</exception>
    public override Task StartAsync(CancellationToken cancellationToken)
    {
        if (_options.Address is { } address)
        {
            try
            {
                _receiver = new NotificationReceiver(
                    new IPEndPoint(IPAddress.Parse(address), _options.Port), this, _identity.Value,
                    new NotificationRates(_options.AgentRateMax, _options.RateMax), _time);
            }
            catch (SocketException unbound)
            {
                throw new NotificationPortException(
                    $"UDP port {_options.Port} on {address} cannot be listened on for notifications: {unbound.Message}. Is another program there? Ports below 1024 need a privilege: send to another one, such as 1162. Correct notifications.address or notifications.port.",
                    unbound);
            }

            LogListens(_receiver.LocalEndPoint, Convert.ToHexString([.. _identity.Value.Id]), _identity.Value.Boots);
        }

        return base.StartAsync(cancellationToken);
    }

    public IReadOnlyList<NotificationSender> At(IPAddress address)
    {
        SenderBook book = Volatile.Read(ref _book);
        if (!ReferenceEquals(book.Targets, _polls.Targets))
        {
            // A new design counts from the next datagram on; names are asked for meanwhile.
            book = new SenderBook(_polls.Targets, Volatile.Read(ref _resolved));
            Volatile.Write(ref _book, book);
        }

        return book.At(address, _credentials);
    }

    public void Accept(SnmpNotification notification)
    {
        var kind = NotificationKinds.Name(notification.Kind);
        _metrics.Accepted(kind);
        if (kind == NotificationKinds.Other)
        {
            return;
        }

        foreach (var pseId in notification.SenderIds)
        {
            if (_polls.PollSoon(pseId, _options.PollGap))
            {
                _metrics.Hastened();
                LogHastens(pseId, kind);
            }
        }
    }

    public void Refuse(IPAddress address, NotificationRefusal why)
    {
        _metrics.Refused(why);
        var (isNews, isFull) = _talk.Note(address, why, _time.GetElapsedTime(_start));
        if (isNews)
        {
            LogRefused(address, Explain(why));
        }
        else if (isFull)
        {
            LogMore();
        }
    }

    public override void Dispose()
    {
        _receiver?.Dispose();
        base.Dispose();
    }

    public override async Task StopAsync(CancellationToken cancellationToken)
    {
        _receiver?.Dispose();
        await base.StopAsync(cancellationToken).ConfigureAwait(false);
    }

    protected override async Task ExecuteAsync(CancellationToken stoppingToken)
    {
        if (_receiver is null)
        {
            return;
        }

        // Until it is known who may send, nobody is an unknown sender.
        await _polls.Followed.WaitAsync(stoppingToken).ConfigureAwait(false);
        _receiver.Listen();
        IReadOnlyDictionary<string, PollTarget>? resolvedFor = null;
        long resolvedAt = 0;
        while (!stoppingToken.IsCancellationRequested)
        {
            IReadOnlyDictionary<string, PollTarget> targets = _polls.Targets;
            if (!ReferenceEquals(targets, resolvedFor) || _time.GetElapsedTime(resolvedAt) >= s_resolveAgain)
            {
                Volatile.Write(ref _resolved, await ResolveAsync(targets, stoppingToken).ConfigureAwait(false));
                Volatile.Write(ref _book, new SenderBook(targets, _resolved));
                (resolvedFor, resolvedAt) = (targets, _time.GetTimestamp());
            }

            await Task.Delay(s_beat, _time, stoppingToken).ConfigureAwait(ConfigureAwaitOptions.SuppressThrowing);
        }
    }

    private static async Task<Dictionary<string, IPAddress>> ResolveAsync(IReadOnlyDictionary<string, PollTarget> targets, CancellationToken stoppingToken)
    {
        var found = new Dictionary<string, IPAddress>(StringComparer.Ordinal);
        foreach (var name in targets.Values.Select(t => t.Agent.Address).Where(a => !IPAddress.TryParse(a, out _)).Distinct(StringComparer.Ordinal))
        {
            try
            {
                IPAddress[] addresses = await Dns.GetHostAddressesAsync(name, stoppingToken).ConfigureAwait(false);
                if (addresses.Length > 0)
                {
                    found[name] = addresses[0];
                }
            }
            catch (Exception unknown) when (unknown is SocketException or OperationCanceledException)
            {
                // Not resolvable now: its notifications are of an unknown sender until it is.
            }
        }

        return found;
    }

    private static string Explain(NotificationRefusal why) => why switch
    {
        NotificationRefusal.UnknownSender => "the design has no agent at this address; correct the address in the design, or end the sending there",
        NotificationRefusal.TooMany => "more come than are taken; see notifications.agentRateMax and rateMax",
        NotificationRefusal.Malformed => "they cannot be read",
        NotificationRefusal.Unsupported => "they are no traps or informs of SNMPv2c or v3; SNMPv1 is not taken",
        NotificationRefusal.WrongCommunity => "the community is not that of the agent's credentials, or the agent is polled with SNMPv3",
        NotificationRefusal.UnknownUser => "the SNMPv3 user is not that of the agent's credentials",
        NotificationRefusal.WrongLevel => "their security level is not that of the agent's credentials; without authentication none is taken",
        NotificationRefusal.WrongDigest => "their authentication does not hold; is the passphrase or protocol another one?",
        NotificationRefusal.OutsideTimeWindow => "they are outside of the time window; repeated by somebody, or an engine whose clock went back",
        NotificationRefusal.DecryptionError => "they cannot be decrypted; is the privacy passphrase or protocol another one?",
        NotificationRefusal.Repeated => "they are repetitions of one taken before",
        _ => "of an unknown reason",
    };

    [LoggerMessage(1020, LogLevel.Information, "Notifications are listened for on UDP {EndPoint}; engine id {EngineId}, boots {Boots}.")]
    private partial void LogListens(IPEndPoint endPoint, string engineId, int boots);

    [LoggerMessage(1021, LogLevel.Debug, "{PseId} is polled early: {Kind}.")]
    private partial void LogHastens(string pseId, string kind);

    [LoggerMessage(1022, LogLevel.Warning, "Notifications from {Address} are not taken: {Why}. Further ones are counted; told again after ten quiet minutes.")]
    private partial void LogRefused(IPAddress address, string why);

    [LoggerMessage(1023, LogLevel.Warning, "Notifications that are not taken come from more addresses than are remembered; further ones are only counted.")]
    private partial void LogMore();
}
