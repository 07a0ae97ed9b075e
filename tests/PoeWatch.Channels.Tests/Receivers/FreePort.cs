using System.Net;
using System.Net.Sockets;

namespace PoeWatch.Channels.Tests.Receivers;

/// <summary>TCP ports that nobody listens on.</summary>
internal static class FreePort
{
    public static int Take()
    {
        using var listener = new TcpListener(IPAddress.Loopback, 0);
        listener.Start();
        return ((IPEndPoint)listener.LocalEndpoint).Port;
    }
}
