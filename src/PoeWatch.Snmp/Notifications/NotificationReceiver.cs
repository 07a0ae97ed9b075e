using System.Net;
using System.Net.Sockets;
using PoeWatch.Snmp.Codec;
using PoeWatch.Snmp.Security;

namespace PoeWatch.Snmp.Notifications;

/// <summary>
/// Listens for traps and informs of v2c and v3. It reads only what known agents send, no more than the rates allow, and believes only what holds
/// their credentials. It answers informs and the search for our engine, and those only to known agents. One thread, no queue.
/// </summary>
public sealed class NotificationReceiver : IDisposable
{
    private const int ReceiveBufferBytes = 1024 * 1024;
    private const int MaxErrorsInARow = 1000;

    // Keys of credentials that were rotated out are overwritten by then at the latest; those in force are derived again.
    private static readonly TimeSpan s_keysKept = TimeSpan.FromHours(1);

    private readonly Socket _socket;
    private readonly INotificationListener _listener;
    private readonly NotificationGate _gate;
    private readonly UserKeyCache _userKeys = new();
    private readonly LocalEngine _engine;
    private readonly SenderEngines _senders;
    private readonly UsmNotifications _usm;
    private readonly Thread _thread;
    private readonly TimeProvider _time;
    private long _keysSince;
    private volatile bool _isReading;
    private volatile bool _closed;

    /// <exception cref="SocketException">The address cannot be listened on.</exception>
    public NotificationReceiver(
        IPEndPoint listen, INotificationListener listener, EngineIdentity identity, NotificationRates rates, TimeProvider time)
    {
        ArgumentNullException.ThrowIfNull(listen);
        (_listener, _time, _keysSince) = (listener, time, time.GetTimestamp());
        _gate = new NotificationGate(rates, time);
        _engine = new LocalEngine(identity, time, _userKeys);
        _senders = new SenderEngines(time, _userKeys);
        _usm = new UsmNotifications(_engine, _senders);
        _socket = new Socket(listen.AddressFamily, SocketType.Dgram, ProtocolType.Udp) { ReceiveBufferSize = ReceiveBufferBytes };
        try
        {
            if (listen.Address.Equals(IPAddress.IPv6Any))
            {
                _socket.DualMode = true;
            }

            _socket.Bind(listen);
        }
        catch
        {
            _socket.Dispose();
            throw;
        }

        _thread = new Thread(Receive) { IsBackground = true, Name = "snmp-notifications" };
    }

    /// <summary>Begins to read. What came since it was opened waits in the socket.</summary>
    public void Listen()
    {
        _thread.Start();
        _isReading = true;
    }

    public NotificationStatistics Statistics { get; } = new();

    /// <summary>Where it listens; the port is known also where any was asked for.</summary>
    public IPEndPoint LocalEndPoint => (IPEndPoint)_socket.LocalEndPoint!;

    public void Dispose()
    {
        _closed = true;
        _socket.Dispose();
        if (!_isReading || _thread.Join(TimeSpan.FromSeconds(2)))
        {
            _senders.Wipe();
            _engine.Wipe();
            _userKeys.Clear();
        }
    }

    private void Receive()
    {
        byte[] buffer = GC.AllocateUninitializedArray<byte>(ushort.MaxValue, pinned: true);
        EndPoint any = new IPEndPoint(_socket.AddressFamily == AddressFamily.InterNetworkV6 ? IPAddress.IPv6Any : IPAddress.Any, 0);
        int errorsInARow = 0;
        while (!_closed && errorsInARow < MaxErrorsInARow)
        {
            try
            {
                EndPoint sender = any;
                int length = _socket.ReceiveFrom(buffer, ref sender);
                errorsInARow = 0;
                OnDatagram(buffer.AsSpan(0, length), (IPEndPoint)sender);
            }
            catch (SocketException)
            {
                // Closing, or an ICMP error about an answer of ours: the loop's condition decides.
                errorsInARow++;
            }
            catch (ObjectDisposedException)
            {
                return;
            }
            catch (Exception)
            {
                // A datagram must never end the thread. The counter is watched: it stays 0.
                Statistics.CountFault();
            }
        }
    }

    private void OnDatagram(Span<byte> datagram, IPEndPoint sender)
    {
        IPAddress address = sender.Address.IsIPv4MappedToIPv6 ? sender.Address.MapToIPv4() : sender.Address;
        IReadOnlyList<NotificationSender> known = _listener.At(address);
        RenewKeys();
        NotificationVerdict verdict =
            known.Count == 0 ? NotificationVerdict.Refused(NotificationRefusal.UnknownSender)
            : !_gate.LetsIn(address) ? NotificationVerdict.Refused(NotificationRefusal.TooMany)
            : Read(datagram, address, known);
        if (verdict.Notification is { } notification)
        {
            Statistics.CountTaken(notification.IsInform);
            _listener.Accept(notification);
        }
        else if (verdict.Reply is not null)
        {
            Statistics.CountReport();
        }

        if (verdict.Refusal is { } why)
        {
            Statistics.CountRefused(why);
            _listener.Refuse(address, why);
        }

        if (verdict.Reply is { } reply)
        {
            _socket.SendTo(reply, sender);
        }
    }

    private void RenewKeys()
    {
        if (_time.GetElapsedTime(_keysSince) >= s_keysKept)
        {
            _engine.Wipe();
            _userKeys.Clear();
            _keysSince = _time.GetTimestamp();
        }
    }

    private NotificationVerdict Read(ReadOnlySpan<byte> datagram, IPAddress address, IReadOnlyList<NotificationSender> senders)
    {
        BerReader outer = new(datagram);
        if (!outer.TryEnter(BerTag.Sequence, out BerReader message) || !message.TryReadInt32(out int version))
        {
            return NotificationVerdict.Refused(NotificationRefusal.Malformed);
        }

        return version switch
        {
            CommunityMessage.Version => CommunityNotifications.Read(datagram, address, senders),
            UsmMessage.Version => _usm.Read(datagram, address, senders),
            _ => NotificationVerdict.Refused(NotificationRefusal.Unsupported),
        };
    }
}
