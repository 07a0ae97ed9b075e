using System.Net;
using PoeWatch.Snmp;
using PoeWatch.Snmp.Codec;

namespace PoeWatch.TestKit.Snmp;

/// <summary>What a <see cref="HostileAgent"/> sends instead of an answer.</summary>
public enum Hostility
{
    None = 0,

    /// <summary>A sound answer cut off at every length from one byte to the last but one.</summary>
    EveryTruncation,

    /// <summary>A datagram of the largest size that is nothing but sequences within sequences.</summary>
    NestedSequences,

    /// <summary>A few bytes that declare gigabytes, at each place where a length stands.</summary>
    LengthBombs,

    /// <summary>A list of more variables than any request asked for.</summary>
    TooManyVariables,

    /// <summary>Values of every wrong type, of impossible lengths and of types that do not exist.</summary>
    WrongTypes,

    /// <summary>Lengths in forms that SNMP forbids: indefinite, and of 127 bytes.</summary>
    ForbiddenLengths,

    /// <summary>Ids that are near, zero, negative and too long.</summary>
    WrongIds,

    /// <summary>The answers of all earlier requests again, before the sound one.</summary>
    Replays,

    /// <summary>A thousand datagrams for one request, of which the last is sound.</summary>
    Flood,

    /// <summary>Names of more sub-identifiers, or larger ones, than an OID has.</summary>
    ImpossibleNames,

    /// <summary>The sound answer from another port, before it comes from the right one.</summary>
    ForeignSource,

    /// <summary>An answer in the oldest version of the protocol, and one in v3, to a v2c request.</summary>
    OtherVersions,

    /// <summary>One row an answer, however many were asked for.</summary>
    SlowDrip,
}

/// <summary>
/// An SNMPv2c agent on loopback that does its worst: for each request it sends what its hostility says and then, unless that is the point,
/// the sound answer. So a client that holds out gets its values. Thread-safe.
/// </summary>
public sealed class HostileAgent(Hostility hostility) : LoopbackAgent(IPAddress.Loopback)
{
    private const int FloodDatagrams = 1000;

    private readonly List<byte[]> _past = [];

    public AgentTable Table { get; } = new();

    /// <summary>Datagrams sent that were no sound answer.</summary>
    public int Hostile { get; private set; }

    private protected override async Task HandleAsync(byte[] datagram, EndPoint client)
    {
        if (!RequestMessage.TryDecode(datagram, out RequestMessage? request))
        {
            return;
        }

        int rows = hostility == Hostility.SlowDrip ? Math.Min(1, request!.MaxRepetitions) : request!.MaxRepetitions;
        List<VarBind> varBinds = Table.Answer(request.Type, request.Oids, request.NonRepeaters, rows, stuck: false);
        byte[] sound = ResponseEncoder.Encode(request.Community, request.RequestId, 0, 0, varBinds);
        foreach (byte[] bad in HostileDatagrams.For(hostility, sound, request, varBinds))
        {
            Hostile++;
            await SendAsync(bad, client, fromOtherPort: hostility == Hostility.ForeignSource);
        }

        for (int i = 0; i < _past.Count && hostility == Hostility.Replays; i++)
        {
            Hostile++;
            await SendAsync(_past[i], client);
        }

        for (int i = 1; i < FloodDatagrams && hostility == Hostility.Flood; i++)
        {
            Hostile++;
            await SendAsync([0x30, 0x82, (byte)(i >> 8), (byte)i], client);
        }

        _past.Add(sound);
        await SendAsync(sound, client);
    }
}
