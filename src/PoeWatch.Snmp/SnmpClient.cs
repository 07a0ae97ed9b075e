using System.Net;
using System.Net.Sockets;
using PoeWatch.Snmp.Codec;
using PoeWatch.Snmp.Transport;

namespace PoeWatch.Snmp;

/// <summary>
/// Asks any number of agents over shared sockets: one per address family, opened at first need. Of agents it only reads; besides, it can tell a manager
/// of something. Thread-safe;
/// one instance serves a whole process. Every expected failure comes back as an <see cref="SnmpOutcome"/>, cancellation too.
/// </summary>
public sealed class SnmpClient : IAsyncDisposable
{
    /// <summary>Requests that may wait at one time, over all agents.</summary>
    public const int DefaultMaxPending = 20_000;

    /// <summary>Variables in one request: more fit no datagram's answer.</summary>
    public const int MaxOids = 128;

    /// <summary>Rows that one GetBulk may ask for.</summary>
    public const int MaxRepetitions = 1000;

    public SnmpClient(TimeProvider time, int maxPending = DefaultMaxPending)
        : this(time, maxPending, null)
    {
    }

    /// <param name="open">Opens what stands in for a UDP socket; null for sockets.</param>
    internal SnmpClient(TimeProvider time, int maxPending, Func<AddressFamily, IDatagramHandler, IDatagramPort>? open)
    {
        ArgumentNullException.ThrowIfNull(time);
        ArgumentOutOfRangeException.ThrowIfLessThan(maxPending, 1);
        Dispatcher = new Dispatcher(time, maxPending, Statistics, open);
        Usm = new UsmConversation(Dispatcher, time);
    }

    public SnmpStatistics Statistics { get; } = new();

    internal Dispatcher Dispatcher { get; }

    internal UsmConversation Usm { get; }

    /// <summary>Reads object instances by their exact names.</summary>
    public Task<SnmpResult> GetAsync(SnmpTarget target, IReadOnlyList<Oid> oids, CancellationToken cancellationToken = default) =>
        RequestAsync(target, new RequestBody(PduType.Get, CheckOids(oids)), cancellationToken);

    /// <summary>
    /// Reads what follows each name: once for the first <paramref name="nonRepeaters"/> names, up to
    /// <paramref name="maxRepetitions"/> times for the rest (RFC 3416 section 4.2.3). The answer may be shorter.
    /// </summary>
    public Task<SnmpResult> GetBulkAsync(
        SnmpTarget target,
        int nonRepeaters,
        int maxRepetitions,
        IReadOnlyList<Oid> oids,
        CancellationToken cancellationToken = default)
    {
        Oid[] names = CheckOids(oids);
        ArgumentOutOfRangeException.ThrowIfNegative(nonRepeaters);
        ArgumentOutOfRangeException.ThrowIfGreaterThan(nonRepeaters, names.Length);
        ArgumentOutOfRangeException.ThrowIfNegative(maxRepetitions);
        ArgumentOutOfRangeException.ThrowIfGreaterThan(maxRepetitions, MaxRepetitions);
        return RequestAsync(target, new RequestBody(PduType.GetBulk, names, nonRepeaters, maxRepetitions), cancellationToken);
    }

    /// <summary>
    /// Tells a manager of something and waits for its acknowledgement (RFC 3416 section 4.2.7). An Inform changes nothing over there. With v3 the
    /// receiver is the authoritative engine, as an agent is for a Get.
    /// </summary>
    /// <param name="varBinds">sysUpTime.0 and snmpTrapOID.0 first, as the RFC has it; the caller puts them.</param>
    public Task<SnmpResult> InformAsync(SnmpTarget target, IReadOnlyList<VarBind> varBinds, CancellationToken cancellationToken = default)
    {
        ArgumentNullException.ThrowIfNull(varBinds);
        var body = new RequestBody(PduType.Inform, CheckOids([.. varBinds.Select(v => v.Oid)])) { Values = [.. varBinds.Select(v => v.Value)] };
        return RequestAsync(target, body, cancellationToken);
    }

    /// <summary>
    /// After a timeout: finds out what the silence means, in at most four requests. A v3 agent that lets itself be
    /// discovered, is silent to this user with privacy and answers without gives <see cref="SnmpOutcome.PrivacySuspected"/>.
    /// In v2c an unknown community and a dead agent look the same: it only asks once more.
    /// </summary>
    public Task<SnmpResult> DiagnoseSilenceAsync(SnmpTarget target, CancellationToken cancellationToken = default)
    {
        ArgumentNullException.ThrowIfNull(target);
        return target.Credentials is UsmCredentials user
            ? Usm.DiagnoseSilenceAsync(target, user, cancellationToken)
            : GetAsync(target, [UsmConversation.SysUpTime], cancellationToken);
    }

    /// <summary>Forgets what is known of an agent that is no longer asked: its engine and the keys there, which are overwritten.</summary>
    public void Forget(IPEndPoint endpoint)
    {
        ArgumentNullException.ThrowIfNull(endpoint);
        Usm.Forget(endpoint);
    }

    /// <summary>Closes the sockets and ends every waiting request as <see cref="SnmpOutcome.Closed"/>.</summary>
    public ValueTask DisposeAsync()
    {
        Dispatcher.Dispose();
        Usm.Wipe();
        return ValueTask.CompletedTask;
    }

    private Task<SnmpResult> RequestAsync(SnmpTarget target, RequestBody body, CancellationToken cancellationToken)
    {
        ArgumentNullException.ThrowIfNull(target);
        return target.Credentials switch
        {
            CommunityCredentials community => Dispatcher.SendAsync(new CommunityRequest(target, community, body), cancellationToken),
            UsmCredentials user => Usm.AskAsync(target, user, body, cancellationToken),
            _ => throw new ArgumentException($"{target.Credentials.GetType().Name} are no credentials this client knows.", nameof(target)),
        };
    }

    private static Oid[] CheckOids(IReadOnlyList<Oid> oids)
    {
        ArgumentNullException.ThrowIfNull(oids);
        if (oids.Count is 0 or > MaxOids)
        {
            throw new ArgumentException($"A request names 1 to {MaxOids} objects, not {oids.Count}.", nameof(oids));
        }

        Oid[] names = [.. oids];
        return Array.TrueForAll(names, oid => !oid.IsEmpty)
            ? names
            : throw new ArgumentException("A request names an empty object identifier.", nameof(oids));
    }
}
