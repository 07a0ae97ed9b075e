using PoeWatch.Snmp.Codec;
using PoeWatch.Snmp.Transport;

namespace PoeWatch.Snmp;

/// <summary>
/// Asks any number of agents over shared sockets: one per address family, opened at first need. It only reads. Thread-safe;
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

    private readonly Dispatcher _dispatcher;

    public SnmpClient(TimeProvider time, int maxPending = DefaultMaxPending)
    {
        ArgumentNullException.ThrowIfNull(time);
        ArgumentOutOfRangeException.ThrowIfLessThan(maxPending, 1);
        _dispatcher = new Dispatcher(time, maxPending, Statistics);
    }

    public SnmpStatistics Statistics { get; } = new();

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

    /// <summary>Closes the sockets and ends every waiting request as <see cref="SnmpOutcome.Closed"/>.</summary>
    public ValueTask DisposeAsync()
    {
        _dispatcher.Dispose();
        return ValueTask.CompletedTask;
    }

    private Task<SnmpResult> RequestAsync(SnmpTarget target, RequestBody body, CancellationToken cancellationToken)
    {
        ArgumentNullException.ThrowIfNull(target);
        return target.Credentials switch
        {
            CommunityCredentials community => _dispatcher.SendAsync(new CommunityRequest(target, community, body), cancellationToken),
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
