using System.Net;

namespace PoeWatch.Snmp;

/// <summary>One agent to ask: where it is, what opens it and how patient to be. Immutable and safe to share.</summary>
public sealed class SnmpTarget
{
    /// <summary>The port agents listen on (RFC 3417).</summary>
    public const int DefaultPort = 161;

    /// <summary>RFC 3412 section 6: every engine takes messages of 484 bytes; no UDP datagram exceeds 65507.</summary>
    public const int MinMessageSize = 484;
    public const int LargestMessageSize = 65507;

    public static readonly TimeSpan MinTimeout = TimeSpan.FromMilliseconds(20);
    public static readonly TimeSpan MaxTimeout = TimeSpan.FromSeconds(60);
    public const int MaxRetries = 10;

    private readonly SocketAddress[] _others;

    /// <exception cref="ArgumentOutOfRangeException">A value lies outside of its bounds; the message names them.</exception>
    public SnmpTarget(
        IPEndPoint endpoint,
        SnmpCredentials credentials,
        TimeSpan? timeout = null,
        int retries = 2,
        int maxMessageSize = LargestMessageSize,
        IReadOnlyList<IPAddress>? alsoAnswersFrom = null)
    {
        ArgumentNullException.ThrowIfNull(endpoint);
        ArgumentNullException.ThrowIfNull(credentials);
        Endpoint = endpoint;
        Credentials = credentials;
        Timeout = timeout ?? TimeSpan.FromSeconds(2);
        Retries = retries;
        MaxMessageSize = maxMessageSize;
        AlsoAnswersFrom = alsoAnswersFrom ?? [];
        _others = [.. AlsoAnswersFrom.Where(a => a.AddressFamily == endpoint.AddressFamily).Select(a => new IPEndPoint(a, endpoint.Port).Serialize())];
        SocketAddress = endpoint.Serialize();
        if (Timeout < MinTimeout || Timeout > MaxTimeout)
        {
            throw new ArgumentOutOfRangeException(nameof(timeout), Timeout, $"The timeout lies between {MinTimeout} and {MaxTimeout}.");
        }

        if (retries is < 0 or > MaxRetries)
        {
            throw new ArgumentOutOfRangeException(nameof(retries), retries, $"Retries lie between 0 and {MaxRetries}.");
        }

        if (maxMessageSize is < MinMessageSize or > LargestMessageSize)
        {
            throw new ArgumentOutOfRangeException(
                nameof(maxMessageSize), maxMessageSize, $"The message size lies between {MinMessageSize} and {LargestMessageSize} bytes.");
        }
    }

    public IPEndPoint Endpoint { get; }

    public SnmpCredentials Credentials { get; }

    /// <summary>How long the first attempt waits; each further one waits twice as long as the one before.</summary>
    public TimeSpan Timeout { get; }

    /// <summary>Attempts after the first.</summary>
    public int Retries { get; }

    /// <summary>The largest answer that is announced as welcome, in bytes (v3 only: v2c has no field for it).</summary>
    public int MaxMessageSize { get; }

    /// <summary>
    /// Other addresses of the same device that its answers may come from, from the port that is asked. For a device that answers from another
    /// interface than the one asked; each gives up a little of the protection against forged answers, so there are none unless set.
    /// </summary>
    public IReadOnlyList<IPAddress> AlsoAnswersFrom { get; }

    internal SocketAddress SocketAddress { get; }

    /// <summary>The socket address's bytes, as the system gives them of a sender.</summary>
    internal ReadOnlySpan<byte> Address => SocketAddress.Buffer.Span[..SocketAddress.Size];

    /// <summary>True where an answer may come from there.</summary>
    internal bool IsResponder(ReadOnlySpan<byte> sender)
    {
        if (Address.SequenceEqual(sender))
        {
            return true;
        }

        foreach (SocketAddress other in _others)
        {
            if (other.Buffer.Span[..other.Size].SequenceEqual(sender))
            {
                return true;
            }
        }

        return false;
    }

    internal SnmpTarget With(SnmpCredentials credentials) =>
        new(Endpoint, credentials, Timeout, Retries, MaxMessageSize, AlsoAnswersFrom);

    public override string ToString() => $"{Endpoint} {Credentials}";
}
