using System.Net;
using System.Net.Sockets;

namespace PoeWatch.Acceptance.Tests.Support;

/// <summary>Ports of 127.0.0.1 that were free a moment ago. None is given twice in one run, so parallel tests do not meet.</summary>
internal static class FreePort
{
    private static readonly Lock Gate = new();
    private static readonly HashSet<int> Given = [];

    public static int Udp() => Next(() =>
    {
        using var socket = new Socket(AddressFamily.InterNetwork, SocketType.Dgram, ProtocolType.Udp);
        socket.Bind(new IPEndPoint(IPAddress.Loopback, 0));
        return ((IPEndPoint)socket.LocalEndPoint!).Port;
    });

    public static int Tcp() => Next(() =>
    {
        using var listener = new TcpListener(IPAddress.Loopback, 0);
        listener.Start();
        return ((IPEndPoint)listener.LocalEndpoint).Port;
    });

    private static int Next(Func<int> draw)
    {
        lock (Gate)
        {
            for (var attempt = 0; attempt < 1_000; attempt++)
            {
                var port = draw();
                if (Given.Add(port))
                {
                    return port;
                }
            }
        }

        throw new InvalidOperationException("No port of 127.0.0.1 is free that was not given before.");
    }
}
