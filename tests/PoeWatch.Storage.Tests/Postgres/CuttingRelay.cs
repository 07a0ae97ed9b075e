using System.Net;
using System.Net.Sockets;

namespace PoeWatch.Storage.Tests.Postgres;

/// <summary>
/// Stands between a store and its server and cuts every connection at the Nth piece that passes, whichever way it goes: the request does not arrive, or its
/// answer does not. Once; then everything passes. Thread safe.
/// </summary>
internal sealed class CuttingRelay : IAsyncDisposable
{
    private readonly TcpListener _listener = new(IPAddress.Loopback, 0);
    private readonly CancellationTokenSource _stop = new();
    private readonly Lock _gate = new();
    private readonly HashSet<Socket> _open = [];
    private readonly string _host;
    private readonly int _port;
    private readonly Task _accepting;
    private int _left = int.MaxValue;

    public CuttingRelay(string host, int port)
    {
        (_host, _port) = (host, port);
        _listener.Start();
        _accepting = AcceptAsync();
    }

    public int Port => ((IPEndPoint)_listener.LocalEndpoint).Port;

    /// <summary>True once it has cut.</summary>
    public bool HasCut { get; private set; }

    /// <summary>The Nth piece from now on does not pass, and the connections with it.</summary>
    public void CutAt(int piece) => Volatile.Write(ref _left, piece);

    public async ValueTask DisposeAsync()
    {
        await _stop.CancelAsync();
        _listener.Stop();
        Cut();
        await _accepting;
        _listener.Dispose();
        _stop.Dispose();
    }

    private async Task AcceptAsync()
    {
        try
        {
            while (true)
            {
                var client = await _listener.AcceptSocketAsync(_stop.Token);
                var server = new Socket(SocketType.Stream, ProtocolType.Tcp) { NoDelay = true };
                await server.ConnectAsync(_host, _port, _stop.Token);
                client.NoDelay = true;
                lock (_gate)
                {
                    _open.UnionWith([client, server]);
                }

                _ = PassAsync(client, server);
                _ = PassAsync(server, client);
            }
        }
        catch (Exception e) when (e is OperationCanceledException or SocketException or ObjectDisposedException)
        {
            // The end.
        }
    }

    private async Task PassAsync(Socket from, Socket to)
    {
        var buffer = new byte[64 * 1024];
        try
        {
            while (await from.ReceiveAsync(buffer, _stop.Token) is var count and > 0)
            {
                if (Volatile.Read(ref _left) < int.MaxValue && Interlocked.Decrement(ref _left) == 0)
                {
                    Volatile.Write(ref _left, int.MaxValue);
                    HasCut = true;
                    Cut();
                    return;
                }

                await to.SendAsync(buffer.AsMemory(0, count), _stop.Token);
            }

            to.Shutdown(SocketShutdown.Send);
        }
        catch (Exception e) when (e is OperationCanceledException or SocketException or ObjectDisposedException)
        {
            // One side is gone: so is the other.
            from.Dispose();
            to.Dispose();
        }
    }

    private void Cut()
    {
        lock (_gate)
        {
            foreach (var socket in _open)
            {
                socket.Dispose();
            }

            _open.Clear();
        }
    }
}
