using System.Net;
using System.Net.Sockets;

namespace PoeWatch.TestKit.Snmp;

/// <summary>A UDP socket on a loopback address whose datagrams a scripted agent handles one after another.</summary>
public abstract class LoopbackAgent : IAsyncDisposable
{
    private readonly Socket _socket;
    private readonly Socket _otherSocket;
    private readonly CancellationTokenSource _closing = new();
    private readonly Task _loop;
    private Socket? _otherAddress;

    private protected LoopbackAgent(IPAddress? address)
    {
        IPEndPoint any = new(address ?? IPAddress.Loopback, 0);
        _socket = Bind(any);
        _otherSocket = Bind(any);
        Endpoint = (IPEndPoint)_socket.LocalEndPoint!;
        _loop = Task.Run(ServeAsync);
    }

    /// <summary>The other address of the device.</summary>
    public static IPAddress OtherAddress { get; } = IPAddress.Parse("127.0.0.2");

    /// <summary>Where to ask this agent.</summary>
    public IPEndPoint Endpoint { get; }

    public async ValueTask DisposeAsync()
    {
        if (!_closing.IsCancellationRequested)
        {
            await _closing.CancelAsync();
            _socket.Dispose();
            _otherSocket.Dispose();
            _otherAddress?.Dispose();
            await _loop;
        }

        GC.SuppressFinalize(this);
    }

    private protected abstract Task HandleAsync(byte[] datagram, EndPoint client);

    private protected async Task SendAsync(byte[] datagram, EndPoint client, bool fromOtherPort = false) =>
        await (fromOtherPort ? _otherSocket : _socket).SendToAsync(datagram, client, _closing.Token);

    /// <summary>Answers as a device that uses another of its addresses: 127.0.0.2, which Linux and Windows have without being told.</summary>
    private protected async Task SendFromOtherAddressAsync(byte[] datagram, EndPoint client)
    {
        _otherAddress ??= Bind(new IPEndPoint(OtherAddress, Endpoint.Port));
        await _otherAddress.SendToAsync(datagram, client, _closing.Token);
    }

    private static Socket Bind(IPEndPoint endpoint)
    {
        Socket socket = new(endpoint.AddressFamily, SocketType.Dgram, ProtocolType.Udp);
        socket.Bind(endpoint);
        return socket;
    }

    private async Task ServeAsync()
    {
        byte[] buffer = new byte[65_535];
        EndPoint any = new IPEndPoint(Endpoint.AddressFamily == AddressFamily.InterNetwork ? IPAddress.Any : IPAddress.IPv6Any, 0);
        while (!_closing.IsCancellationRequested)
        {
            try
            {
                SocketReceiveFromResult got = await _socket.ReceiveFromAsync(buffer, any, _closing.Token);
                await HandleAsync(buffer[..got.ReceivedBytes], got.RemoteEndPoint);
            }
            catch (Exception e) when (e is OperationCanceledException or ObjectDisposedException or SocketException)
            {
                // Closing, or an ICMP error about a client that has gone: the loop's condition decides.
            }
        }
    }
}
