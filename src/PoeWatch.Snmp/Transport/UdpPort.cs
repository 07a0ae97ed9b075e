using System.Net;
using System.Net.Sockets;

namespace PoeWatch.Snmp.Transport;

/// <summary>Takes what a port hears, on its receive thread; the span and the address are the thread's own and are used again.</summary>
internal interface IDatagramHandler
{
    void OnDatagram(Span<byte> datagram, SocketAddress sender);

    /// <summary>The network refused a datagram of ours.</summary>
    void OnRefused(ReadOnlySpan<byte> datagram, SocketAddress receiver);
}

/// <summary>
/// One unconnected UDP socket with a receive thread of its own that blocks. At the pace of polling every datagram wakes
/// somebody, and waking a blocked thread costs a fraction of completing an asynchronous receive. The socket is never used
/// asynchronously: that would make it non-blocking for good.
/// </summary>
internal sealed class UdpPort : IDisposable
{
    /// <summary>Room for a burst while the thread waits for a core; the system may grant less.</summary>
    private const int ReceiveBufferBytes = 8 * 1024 * 1024;
    private const int MaxErrorsInARow = 1000;

    private readonly Socket _socket;
    private readonly IDatagramHandler _handler;
    private readonly SnmpStatistics _statistics;
    private readonly Thread _thread;
    private volatile bool _closed;
    private volatile bool _errorSeen;

    public UdpPort(AddressFamily family, IDatagramHandler handler, SnmpStatistics statistics)
    {
        _handler = handler;
        _statistics = statistics;
        _socket = new Socket(family, SocketType.Dgram, ProtocolType.Udp) { ReceiveBufferSize = ReceiveBufferBytes };
        try
        {
            IPAddress any = family == AddressFamily.InterNetworkV6 ? IPAddress.IPv6Any : IPAddress.Any;
            _socket.Bind(new IPEndPoint(any, 0));
            IcmpErrors.Enable(_socket);
        }
        catch
        {
            _socket.Dispose();
            throw;
        }

        _thread = new Thread(Receive) { IsBackground = true, Name = $"snmp-receive-{family}" };
        _thread.Start();
    }

    /// <summary>Sends one datagram; false where the network refuses it at once.</summary>
    public bool TrySend(ReadOnlySpan<byte> datagram, SocketAddress receiver)
    {
        // An error about an earlier datagram, to whomever, surfaces at the next sending: further tries are about this one.
        for (int tries = 0; tries < 4; tries++)
        {
            try
            {
                _socket.SendTo(datagram, SocketFlags.None, receiver);
                return true;
            }
            catch (SocketException)
            {
                _errorSeen = true;
            }
            catch (ObjectDisposedException)
            {
                return false;
            }
        }

        return false;
    }

    public void Dispose()
    {
        _closed = true;
        _socket.Dispose();
        _thread.Join(TimeSpan.FromSeconds(2));
    }

    private void Receive()
    {
        byte[] buffer = GC.AllocateUninitializedArray<byte>(ushort.MaxValue, pinned: true);
        SocketAddress sender = new(_socket.AddressFamily);
        int errorsInARow = 0;
        while (!_closed && errorsInARow < MaxErrorsInARow)
        {
            try
            {
                int length = _socket.ReceiveFrom(buffer, SocketFlags.None, sender);
                errorsInARow = 0;
                _statistics.CountReceived();
                _handler.OnDatagram(buffer.AsSpan(0, length), sender);
                if (_errorSeen)
                {
                    HandOverRefused(buffer, sender);
                }
            }
            catch (SocketException error)
            {
                // An ICMP error, or the socket closing: the loop's condition decides. Errors about datagrams of ours may come for hours
                // with no answer between, when a whole site is away: only errors without a cause count.
                bool isOfADatagram = HandOverRefused(buffer, sender) || error.SocketErrorCode == SocketError.ConnectionReset;
                errorsInARow = isOfADatagram ? 0 : errorsInARow + 1;
            }
            catch (ObjectDisposedException)
            {
                return;
            }
            catch (Exception)
            {
                // A datagram must never end the thread that all switches depend on. The counter is watched: it stays 0.
                _statistics.CountFault();
            }
        }
    }

    /// <summary>True where the network refused any datagram.</summary>
    private bool HandOverRefused(byte[] buffer, SocketAddress receiver)
    {
        _errorSeen = false;
        int taken = 0;
        for (; taken < MaxErrorsInARow && !_closed; taken++)
        {
            if (!IcmpErrors.TryTake(_socket, buffer, receiver, out int length))
            {
                break;
            }

            _handler.OnRefused(buffer.AsSpan(0, length), receiver);
        }

        return taken > 0;
    }
}
