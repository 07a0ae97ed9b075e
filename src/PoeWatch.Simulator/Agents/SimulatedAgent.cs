using System.Net;
using System.Net.Sockets;
using Microsoft.Extensions.Logging;
using PoeWatch.Simulator.World;
using PoeWatch.Snmp;
using PoeWatch.Snmp.Security;

namespace PoeWatch.Simulator.Agents;

/// <summary>
/// An SNMP agent on a UDP socket of its own on the loopback address, showing one PSE of a simulated world. Reads only: a request
/// to change something gets no answer. Thread safe.
/// </summary>
public sealed partial class SimulatedAgent : IAsyncDisposable
{
    /// <summary>The largest message it takes part in, in bytes: what Ethernet carries in one piece.</summary>
    public const int MaxMessageSize = 1472;

    /// <summary>A socket that fails so often without one datagram between is lost.</summary>
    private const int MostFailuresInARow = 1000;

    private readonly SimulatedWorld _world;
    private readonly AgentFace _face;
    private readonly AgentProtocol _protocol;
    private readonly AgentProtocol _refusing;
    private readonly Socket _socket;
    private readonly CancellationTokenSource _ending = new();
    private readonly ILogger _logger;
    private readonly Task _serving;
    private long _answers;

    /// <param name="userKeys">Shared by all agents: passphrases are hashed once.</param>
    /// <param name="udpPort">UDP port on 127.0.0.1; 0 takes a free one.</param>
    /// <exception cref="SocketException">The port is taken.</exception>
    internal SimulatedAgent(
        SimulatedWorld world, string elementId, AgentFace face, SnmpCredentials credentials, UserKeyCache userKeys, int udpPort, ILogger logger)
    {
        _world = world;
        _logger = logger;
        ElementId = elementId;
        _face = face;
        _protocol = new AgentProtocol(_face.View, credentials, EngineId.For(elementId), userKeys);
        _refusing = new AgentProtocol(_face.View, Changed(credentials), EngineId.For(elementId), userKeys);
        _socket = new Socket(AddressFamily.InterNetwork, SocketType.Dgram, ProtocolType.Udp);
        try
        {
            _socket.Bind(new IPEndPoint(IPAddress.Loopback, udpPort));
        }
        catch (SocketException)
        {
            _socket.Dispose();
            throw;
        }

        EndPoint = (IPEndPoint)_socket.LocalEndPoint!;
        _serving = ServeAsync(_ending.Token);
    }

    /// <summary>The element of the design whose PSE it shows.</summary>
    public string ElementId { get; }

    /// <summary>Where it answers.</summary>
    public IPEndPoint EndPoint { get; }

    /// <summary>Answers sent so far, reports included.</summary>
    public long Answers => Interlocked.Read(ref _answers);

    public async ValueTask DisposeAsync()
    {
        await _ending.CancelAsync();
        await _serving;
        _socket.Dispose();
        _ending.Dispose();
    }

    // A community that is not known meets silence, a user that is not known a report.
    private static SnmpCredentials Changed(SnmpCredentials credentials) =>
        credentials is UsmCredentials ? new UsmCredentials("changed") : new CommunityCredentials("changed");

    /// <summary>What the agent does with a datagram, without a socket: gives the length of the answer, which stands at the end of the buffer, or 0 where it stays silent.</summary>
    /// <param name="delay">How long the answer takes.</param>
    internal int Answer(ReadOnlySpan<byte> datagram, Span<byte> buffer, out TimeSpan delay)
    {
        delay = _face.Delay;
        if (_face.LosesAnswer() || _face.Now() is not { } moment)
        {
            return 0;
        }

        var length = (_face.RefusesCredentials ? _refusing : _protocol).Respond(datagram, moment, buffer);
        Interlocked.Add(ref _answers, length > 0 ? 1 : 0);
        return length;
    }

    private async Task ServeAsync(CancellationToken ending)
    {
        var sender = new SocketAddress(AddressFamily.InterNetwork);
        var datagram = new byte[ushort.MaxValue];
        var buffer = new byte[2 * MaxMessageSize];
        var failuresInARow = 0;
        while (failuresInARow < MostFailuresInARow)
        {
            try
            {
                var length = await _socket.ReceiveFromAsync(datagram, SocketFlags.None, sender, ending);
                if (_face.LosesAnswer())
                {
                    continue;
                }

                if (_face.Delay is var delay && delay > TimeSpan.Zero)
                {
                    await Task.Delay(delay, _world.Time, ending);
                }

                var protocol = _face.RefusesCredentials ? _refusing : _protocol;
                if (_face.Now() is { } moment && protocol.Respond(datagram.AsSpan(0, length), moment, buffer) is > 0 and var answer)
                {
                    await _socket.SendToAsync(buffer.AsMemory(buffer.Length - answer), SocketFlags.None, sender, ending);
                    Interlocked.Increment(ref _answers);
                }

                failuresInARow = 0;
            }
            catch (OperationCanceledException)
            {
                return;
            }
            catch (SocketException e)
            {
                // A manager that has gone away: some systems tell it on the next receive. The socket itself is sound.
                failuresInARow++;
                LogSocketTrouble(ElementId, e.SocketErrorCode);
            }
            catch (Exception e)
            {
                failuresInARow++;
                LogAnswerFailed(e, ElementId);
            }
        }

        LogGaveUp(ElementId, failuresInARow);
    }

    [LoggerMessage(6503, LogLevel.Debug, "Simulated agent {Element}: {Trouble} on its socket; it goes on")]
    private partial void LogSocketTrouble(string element, SocketError trouble);

    [LoggerMessage(6504, LogLevel.Error, "Simulated agent {Element} could not answer a request: a fault of the simulator; it goes on")]
    private partial void LogAnswerFailed(Exception failure, string element);

    [LoggerMessage(6505, LogLevel.Error, "Simulated agent {Element} gave up after {Failures} failures in a row; start the harbour anew")]
    private partial void LogGaveUp(string element, int failures);
}
