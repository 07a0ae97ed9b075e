using System.Net;
using System.Net.Sockets;

namespace PoeWatch.Snmp.Transport;

/// <summary>
/// One unconnected UDP socket with a receive thread of its own that blocks. At the pace of polling every datagram wakes
/// somebody, and waking a blocked thread costs a fraction of completing an asynchronous receive. The socket is never used
/// asynchronously: that would make it non-blocking for good. On Linux the thread takes and sends many datagrams a call.
/// </summary>
internal sealed class UdpPort : IDatagramPort
{
    /// <summary>Room for a burst while the thread waits for a core; the system may grant less.</summary>
    private const int ReceiveBufferBytes = 8 * 1024 * 1024;
    private const int MaxErrorsInARow = 1000;

    private readonly Socket _socket;
    private readonly IDatagramHandler _handler;
    private readonly SnmpStatistics _statistics;
    private readonly GatheringPause _pause = new();
    private readonly Thread _thread;
    private readonly Lock _leftLock = new();
    private DatagramBatch? _outgoing;

    // What other threads have to send while the receive thread pauses: it sends them all in one call when it is up again. Null while it does not pause.
    private DatagramBatch? _left;
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

        _thread = new Thread(NativeSockets.IsSupported ? ReceiveMany : ReceiveOnes) { IsBackground = true, Name = $"snmp-receive-{family}" };
        _thread.Start();
    }

    /// <summary>Sends one datagram, on the receive thread with what else it has to send; false where the network refuses it at once.</summary>
    public bool TrySend(ReadOnlySpan<byte> datagram, SocketAddress receiver)
    {
        if (_outgoing is { } outgoing && Thread.CurrentThread == _thread)
        {
            if (outgoing.Count == DatagramBatch.Capacity)
            {
                Flush(outgoing);
            }

            if (outgoing.TryAdd(datagram, receiver))
            {
                return true;
            }
        }

        return TryLeave(datagram, receiver) || TrySendNow(datagram, receiver);
    }

    public void Dispose()
    {
        _closed = true;
        _socket.Dispose();
        if (Thread.CurrentThread != _thread)
        {
            _thread.Join(TimeSpan.FromSeconds(2));
        }
    }

    private bool TrySendNow(ReadOnlySpan<byte> datagram, SocketAddress receiver)
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

    /// <summary>Many datagrams a call.</summary>
    private void ReceiveMany()
    {
        using DatagramBatch incoming = new(toSend: false);
        using DatagramBatch outgoing = new(toSend: true);
        using DatagramBatch left = new(toSend: true);
        _outgoing = outgoing;
        int errorsInARow = 0;
        while (!_closed && errorsInARow < MaxErrorsInARow)
        {
            try
            {
                int count = incoming.Receive(_socket.SafeHandle);
                for (int i = 0; i < count; i++)
                {
                    Handle(incoming.Datagram(i), incoming.Address(i));
                }

                Flush(outgoing);
                bool refused = (count < 0 || _errorSeen) && HandOverRefused(incoming.Room);
                errorsInARow = count > 0 || refused ? 0 : errorsInARow + 1;
                if (_pause.Decide(count, _handler.IsBusy))
                {
                    Pause(left);
                }
            }
            catch (ObjectDisposedException)
            {
                break;
            }
        }

        _outgoing = null;
    }

    private void Pause(DatagramBatch left)
    {
        lock (_leftLock)
        {
            _left = left;
        }

        DatagramBatch.Pause(GatheringPause.Microseconds);
        lock (_leftLock)
        {
            _left = null;
        }

        Flush(left);
    }

    /// <summary>Leaves a datagram to the receive thread: false where that does not pause, or has enough already.</summary>
    private bool TryLeave(ReadOnlySpan<byte> datagram, SocketAddress receiver)
    {
        lock (_leftLock)
        {
            return _left is { } left && left.TryAdd(datagram, receiver);
        }
    }

    /// <summary>One datagram a call, as every system can.</summary>
    private void ReceiveOnes()
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
                Handle(buffer.AsSpan(0, length), sender.Buffer.Span[..sender.Size]);
            }
            catch (SocketException error)
            {
                // The socket closing, or an error about one of our datagrams: such may come for hours with no answer between, when a whole
                // site is away. Only errors without a cause count.
                errorsInARow = error.SocketErrorCode == SocketError.ConnectionReset ? 0 : errorsInARow + 1;
            }
            catch (ObjectDisposedException)
            {
                return;
            }
        }
    }

    private void Handle(Span<byte> datagram, ReadOnlySpan<byte> sender)
    {
        try
        {
            _statistics.CountReceived();
            _handler.OnDatagram(datagram, sender);
        }
        catch (Exception)
        {
            // A datagram must never end the thread that all switches depend on. The counter is watched: it stays 0.
            _statistics.CountFault();
        }
    }

    private void Flush(DatagramBatch outgoing)
    {
        int tries = 0;
        for (int done = 0; done < outgoing.Count;)
        {
            int sent = outgoing.Send(_socket.SafeHandle, done);
            if (sent > 0)
            {
                done += sent;
                tries = 0;
                continue;
            }

            // As in TrySendNow: the error may be an earlier datagram's.
            _errorSeen = true;
            if (++tries == 4)
            {
                _handler.OnRefused(outgoing.Datagram(done), outgoing.Address(done));
                done++;
                tries = 0;
            }
        }

        outgoing.Clear();
    }

    /// <summary>True where the network refused any datagram.</summary>
    private bool HandOverRefused(Span<byte> buffer)
    {
        _errorSeen = false;
        Span<byte> receiver = stackalloc byte[NativeSockets.MaxAddress];
        int taken = 0;
        for (; taken < MaxErrorsInARow && !_closed; taken++)
        {
            if (!IcmpErrors.TryTake(_socket, buffer, receiver, out int length, out int receiverLength))
            {
                break;
            }

            _handler.OnRefused(buffer[..length], receiver[..receiverLength]);
        }

        return taken > 0;
    }
}
