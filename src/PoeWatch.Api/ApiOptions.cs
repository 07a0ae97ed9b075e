using System.Collections.Immutable;
using PoeWatch.Api.Access;

namespace PoeWatch.Api;

/// <summary>How the API listens, whom it serves and where its bounds are. Immutable; checked by <see cref="ListenPolicy"/> before anything is bound.</summary>
public sealed record ApiOptions
{
    /// <summary>Address to listen on.</summary>
    /// <value>An IP address or <c>localhost</c>; <c>127.0.0.1</c> by default. Anything but loopback asks for keys and TLS.</value>
    public string ListenAddress { get; init; } = "127.0.0.1";

    /// <summary>TCP port to listen on.</summary>
    /// <value>0..65535; 8460 by default; 0 takes any free port.</value>
    public int ListenPort { get; init; } = 8460;

    /// <summary>Keys that callers may show. Where there is one, every call but the dashboard's own files and live/ready needs one.</summary>
    /// <value>Empty by default; at most 200.</value>
    public ImmutableArray<ApiKey> Keys { get; init; } = [];

    /// <summary>True where the operator states that a proxy in front of the service ends TLS.</summary>
    public bool BehindTlsProxy { get; init; }

    /// <summary>Certificate with its private key (PKCS #12 or PEM) for TLS in the service itself; null where there is none.</summary>
    public string? CertificateFile { get; init; }

    /// <summary>DNS names by which the service may be called, besides IP addresses and <c>localhost</c>: a call by any other name is refused.</summary>
    public ImmutableArray<string> ServedNames { get; init; } = [];

    /// <summary>Most points that one answer of the history may hold.</summary>
    /// <value>1..50,000; 5,000 by default.</value>
    public int HistoryPointsMax { get; init; } = 5_000;

    /// <summary>Longest period that one export may cover.</summary>
    /// <value>400 days by default.</value>
    public TimeSpan ExportPeriodMax { get; init; } = TimeSpan.FromDays(400);

    /// <summary>Live streams served at the same time.</summary>
    /// <value>1..10,000; 200 by default.</value>
    public int LiveStreamsMax { get; init; } = 200;

    /// <summary>Shortest time between two events of one live stream.</summary>
    /// <value>250 ms by default.</value>
    public TimeSpan LiveInterval { get; init; } = TimeSpan.FromMilliseconds(250);

    /// <summary>A live stream with nothing to tell says so this often, so that both ends notice a broken line.</summary>
    /// <value>15 s by default.</value>
    public TimeSpan HeartbeatInterval { get; init; } = TimeSpan.FromSeconds(15);

    /// <summary>True where callers must show a key.</summary>
    public bool AsksForKey => !Keys.IsEmpty;
}
