using System.Runtime.InteropServices;

namespace PoeWatch.Snmp.Transport;

/// <summary>Whether the system takes and gives several datagrams a call. The structs below have this layout on 64-bit Linux only.</summary>
internal static class NativeSockets
{
    /// <summary>sockaddr_in6 is the larger of the two addresses.</summary>
    public const int MaxAddress = 28;

    public static readonly bool IsSupported = OperatingSystem.IsLinux() && Environment.Is64BitProcess;
}

/// <summary>struct iovec of recvmsg(2).</summary>
[StructLayout(LayoutKind.Sequential)]
internal unsafe struct IoVector
{
    public byte* Base { get; set; }
    public nuint Length { get; set; }
}

/// <summary>struct msghdr of recvmsg(2), for one vector and no control data.</summary>
[StructLayout(LayoutKind.Sequential)]
internal unsafe struct MessageHeader
{
    public byte* Name { get; set; }

    /// <summary>Bytes of the address; on receiving, the system writes how many it filled in.</summary>
    public uint NameLength { get; set; }
    public IoVector* Vectors { get; set; }
    public nuint VectorCount { get; set; }
    public byte* Control { get; set; }
    public nuint ControlLength { get; set; }
    public int Flags { get; set; }
}

/// <summary>struct mmsghdr of recvmmsg(2).</summary>
[StructLayout(LayoutKind.Sequential)]
internal struct BatchedHeader
{
    internal MessageHeader Message;

    /// <summary>Bytes received or sent.</summary>
    internal uint Length;
}
