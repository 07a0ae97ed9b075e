using System.Net;
using System.Net.Sockets;
using PoeWatch.Snmp;
using PoeWatch.Snmp.Transport;

namespace PoeWatch.TestKit.Snmp;

/// <summary>What an agent does with a datagram: the length of its answer at the end of the buffer, or 0; and how long that takes.</summary>
public delegate int DirectAnswer(IPEndPoint agent, ReadOnlySpan<byte> datagram, Span<byte> buffer, out TimeSpan delay);

/// <summary>
/// Stands in for the UDP socket of an <see cref="SnmpClient"/> where time is driven: the same bytes reach the agent at once, on the thread that sends, and its answer comes
/// back before the sending returns. What gets no answer, or a later one, is told, for then only time brings the asker further.
/// </summary>
public sealed class DirectPort : IDatagramPort
{
    // Twice what an agent takes part in.
    private const int BufferBytes = 2 * 1472;

    private readonly IDatagramHandler _handler;
    private readonly DirectAnswer _answer;
    private readonly TimeProvider _time;
    private readonly Action _waits;

    private DirectPort(IDatagramHandler handler, DirectAnswer answer, TimeProvider time, Action waits) =>
        (_handler, _answer, _time, _waits) = (handler, answer, time, waits);

    /// <param name="waits">Told whenever a datagram is not answered at once.</param>
    public static SnmpClient Client(TimeProvider time, DirectAnswer answer, Action waits) =>
        new(time, SnmpClient.DefaultMaxPending, (_, handler) => new DirectPort(handler, answer, time, waits));

    bool IDatagramPort.TrySend(ReadOnlySpan<byte> datagram, SocketAddress receiver)
    {
        var agent = (IPEndPoint)new IPEndPoint(receiver.Family == AddressFamily.InterNetworkV6 ? IPAddress.IPv6Any : IPAddress.Any, 0).Create(receiver);
        var buffer = new byte[BufferBytes];
        var length = _answer(agent, datagram, buffer, out TimeSpan delay);
        var sender = receiver.Buffer[..receiver.Size].ToArray();
        if (length > 0 && delay <= TimeSpan.Zero)
        {
            _handler.OnDatagram(buffer.AsSpan(buffer.Length - length), sender);
            return true;
        }

        if (length > 0)
        {
            ITimer? later = null;
            later = _time.CreateTimer(_ => Late(), null, delay, Timeout.InfiniteTimeSpan);

            void Late()
            {
                later?.Dispose();
                _handler.OnDatagram(buffer.AsSpan(buffer.Length - length), sender);
            }
        }

        _waits();
        return true;
    }

    public void Dispose()
    {
    }
}
