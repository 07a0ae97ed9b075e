using System.Net;

namespace PoeWatch.Snmp.Transport;

/// <summary>Where datagrams go out. Thread safe.</summary>
internal interface IDatagramPort : IDisposable
{
    /// <summary>Sends one datagram; false where the network refuses it at once.</summary>
    bool TrySend(ReadOnlySpan<byte> datagram, SocketAddress receiver);
}
