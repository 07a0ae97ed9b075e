using System.Collections.Frozen;
using System.Globalization;
using System.Net;
using System.Net.Sockets;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.Poe;
using PoeWatch.Domain.Readings;
using PoeWatch.Monitoring.Abstractions;
using PoeWatch.Snmp;

namespace PoeWatch.Benchmarks.ManySwitches;

/// <summary>The switches that the anchor's agent plays, one an address of 127.16.0.0/12, as a design would have them.</summary>
internal static class LabSwitches
{
    /// <summary>The agent's private column of milliwatts, by port.</summary>
    private static readonly DrawColumn s_milliwatts = new("1.3.6.1.4.1.99999.1.1.1", DrawUnit.Milliwatt, DrawIndex.Port);

    public static FrozenDictionary<string, PollTarget> Targets(int switches, int ports, Func<int, int> udpPort, TimeSpan period) => Enumerable.Range(0, switches)
        .Select(i => Target(i, ports, udpPort(i), period))
        .ToFrozenDictionary(target => target.PseId, StringComparer.Ordinal);

    public static string Name(int index) => string.Create(CultureInfo.InvariantCulture, $"switch-{index + 1:00000}");

    private static PollTarget Target(int index, int ports, int udpPort, TimeSpan period)
    {
        var address = new IPAddress([127, (byte)(16 + (index / 250 / 256)), (byte)(index / 250), (byte)((index % 250) + 1)]);
        var agent = new SnmpAgent(address.ToString(), udpPort, "lab", period, s_milliwatts);
        var name = Name(index);
        return new PollTarget(name, agent, PortTypes.Of(Enumerable.Range(1, ports).Select(port => KeyValuePair.Create(new PsePortRef(name, 1, port), PoeType.Type2))));
    }
}

/// <summary>One secret for all.</summary>
internal sealed class LabCredentials(SnmpCredentials credentials) : ICredentialSource
{
    public SnmpCredentials? Find(string name, out string problem)
    {
        problem = string.Empty;
        return credentials;
    }
}

/// <summary>A port where datagrams arrive and nobody answers: no ICMP either, as with a switch that is gone.</summary>
internal sealed class MutePort : IDisposable
{
    private readonly Socket _socket = new(AddressFamily.InterNetwork, SocketType.Dgram, ProtocolType.Udp) { ReceiveBufferSize = 4096 };

    public MutePort() => _socket.Bind(new IPEndPoint(IPAddress.Any, 0));

    public int Number => ((IPEndPoint)_socket.LocalEndPoint!).Port;

    public void Dispose() => _socket.Dispose();
}
