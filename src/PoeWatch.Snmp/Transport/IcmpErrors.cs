using System.Net;
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
    private const int MaxAddress = 28;

    /// <summary>The struct below has this layout on 64-bit systems only.</summary>
    private static readonly bool IsSupported = OperatingSystem.IsLinux() && Environment.Is64BitProcess;

    /// <summary>Asks the system to keep errors for this socket.</summary>
    public static void Enable(Socket socket)
    {
        if (IsSupported)
        {
            bool six = socket.AddressFamily == AddressFamily.InterNetworkV6;
            socket.SetRawSocketOption(six ? SolIpv6 : SolIp, six ? Ipv6RecvErr : IpRecvErr, BitConverter.GetBytes(1));
        }
    }

    /// <summary>
    /// Takes the oldest error out of the queue: fills in where the datagram was sent to and gives the datagram, or as much
    /// of it as came back. False where the queue is empty.
    /// </summary>
    public static bool TryTake(Socket socket, Span<byte> buffer, SocketAddress receiver, out int length)
    {
        length = 0;
        if (!IsSupported)
        {
            return false;
        }

        byte* name = stackalloc byte[MaxAddress];
        fixed (byte* data = buffer)
        {
            IoVector vector = new(data, buffer.Length);
            MessageHeader header = new(name, MaxAddress, &vector);
            nint got = ReceiveMessage(socket.SafeHandle, ref header, MsgErrQueue | MsgDontWait);
            if (got < 0 || header.NameLength > (uint)receiver.Buffer.Length)
            {
                return false;
            }

            new ReadOnlySpan<byte>(name, (int)header.NameLength).CopyTo(receiver.Buffer.Span);
            receiver.Size = (int)header.NameLength;
            length = (int)got;
            return true;
        }
    }

    [LibraryImport("libc", EntryPoint = "recvmsg", SetLastError = true)]
    private static partial nint ReceiveMessage(SafeSocketHandle socket, ref MessageHeader message, int flags);

    /// <summary>struct iovec of recvmsg(2).</summary>
    [StructLayout(LayoutKind.Sequential)]
    private readonly struct IoVector
    {
        private readonly byte* _base;
        private readonly nuint _length;

        public IoVector(byte* data, int length)
        {
            _base = data;
            _length = (nuint)length;
        }
    }

    /// <summary>struct msghdr of recvmsg(2), for one vector and no control data.</summary>
    [StructLayout(LayoutKind.Sequential)]
    private struct MessageHeader
    {
        private readonly byte* _name;
        private readonly uint _nameLength;
        private readonly IoVector* _vectors;
        private readonly nuint _vectorCount;
        private readonly byte* _control;
        private readonly nuint _controlLength;
        private readonly int _flags;

        public MessageHeader(byte* name, uint nameLength, IoVector* vector)
        {
            _name = name;
            _nameLength = nameLength;
            _vectors = vector;
            _vectorCount = 1;
            _control = null;
            _controlLength = 0;
            _flags = 0;
        }

        /// <summary>Bytes of the address; the system writes how many it filled in.</summary>
        public readonly uint NameLength => _nameLength;
    }
}
