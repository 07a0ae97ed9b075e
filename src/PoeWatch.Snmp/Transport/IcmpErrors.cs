using System.Net.Sockets;
using System.Runtime.InteropServices;

namespace PoeWatch.Snmp.Transport;

/// <summary>
/// Reads which of our datagrams the network refused. An unconnected socket hears nothing of ICMP by default, and cannot:
/// a plain error would not say about whom. Linux keeps such errors with the address and the datagram in a queue of its
/// own (ip(7), IP_RECVERR). On other systems there is no such queue, and a refused request ends as a timeout.
/// </summary>
internal static unsafe partial class IcmpErrors
{
    private const int SolIp = 0;
    private const int IpRecvErr = 11;
    private const int SolIpv6 = 41;
    private const int Ipv6RecvErr = 25;
    private const int MsgDontWait = 0x40;
    private const int MsgErrQueue = 0x2000;

    /// <summary>Asks the system to keep errors for this socket.</summary>
    public static void Enable(Socket socket)
    {
        if (NativeSockets.IsSupported)
        {
            bool six = socket.AddressFamily == AddressFamily.InterNetworkV6;
            socket.SetRawSocketOption(six ? SolIpv6 : SolIp, six ? Ipv6RecvErr : IpRecvErr, BitConverter.GetBytes(1));
        }
    }

    /// <summary>
    /// Takes the oldest error out of the queue: fills in where the datagram was sent to and gives the datagram, or as much
    /// of it as came back. False where the queue is empty.
    /// </summary>
    public static bool TryTake(Socket socket, Span<byte> buffer, Span<byte> receiver, out int length, out int receiverLength)
    {
        length = 0;
        receiverLength = 0;
        if (!NativeSockets.IsSupported)
        {
            return false;
        }

        fixed (byte* data = buffer, name = receiver)
        {
            IoVector vector = new() { Base = data, Length = (nuint)buffer.Length };
            MessageHeader header = new() { Name = name, NameLength = (uint)receiver.Length, Vectors = &vector, VectorCount = 1 };
            nint got = ReceiveMessage(socket.SafeHandle, ref header, MsgErrQueue | MsgDontWait);
            if (got < 0 || header.NameLength > (uint)receiver.Length)
            {
                return false;
            }

            length = (int)got;
            receiverLength = (int)header.NameLength;
            return true;
        }
    }

    [LibraryImport("libc", EntryPoint = "recvmsg", SetLastError = true)]
    private static partial nint ReceiveMessage(SafeSocketHandle socket, ref MessageHeader message, int flags);
}
