using System.Net;
using System.Net.Sockets;
using System.Runtime.InteropServices;

namespace PoeWatch.Snmp.Transport;

/// <summary>
/// Room for several datagrams with their addresses, outside of the collector's heap, that one system call fills (recvmmsg) or sends
/// (sendmmsg): at the pace of polling the calls cost more than all decoding. Linux only. For one thread.
/// </summary>
internal sealed unsafe partial class DatagramBatch : IDisposable
{
    /// <summary>Datagrams a call.</summary>
    public const int Capacity = 48;

    /// <summary>
    /// Room of a datagram to send: what an Ethernet carries. No power of two: such slots would all fall upon the same few lines of the
    /// processor's cache, and so none of its multiples beside another one's room.
    /// </summary>
    private const int SentBytes = 1600;

    /// <summary>Room of a datagram to receive, the largest that there is; the system gives memory to what is written only.</summary>
    private const int ReceivedBytes = 65536 + SentBytes;

    private const int WaitForOne = 0x10000;

    private readonly int _slotBytes;
    private byte* _data;
    private byte* _names;
    private IoVector* _vectors;
    private BatchedHeader* _headers;

    public DatagramBatch(bool toSend)
    {
        _slotBytes = toSend ? SentBytes : ReceivedBytes;
        _data = (byte*)NativeMemory.Alloc(Capacity, (nuint)_slotBytes);
        _names = (byte*)NativeMemory.AllocZeroed(Capacity, NativeSockets.MaxAddress);
        _vectors = (IoVector*)NativeMemory.AllocZeroed(Capacity, (nuint)sizeof(IoVector));
        _headers = (BatchedHeader*)NativeMemory.AllocZeroed(Capacity, (nuint)sizeof(BatchedHeader));
        for (int i = 0; i < Capacity; i++)
        {
            _vectors[i].Base = _data + (i * _slotBytes);
            _vectors[i].Length = (nuint)_slotBytes;
            _headers[i].Message.Name = _names + (i * NativeSockets.MaxAddress);
            _headers[i].Message.Vectors = _vectors + i;
            _headers[i].Message.VectorCount = 1;
        }
    }

    /// <summary>Datagrams to send.</summary>
    public int Count { get; private set; }

    /// <summary>Room for a datagram, for other purposes; what it held is gone.</summary>
    public Span<byte> Room => new(_data, _slotBytes);

    public Span<byte> Datagram(int index) => new(_vectors[index].Base, (int)_headers[index].Length);

    public ReadOnlySpan<byte> Address(int index) =>
        new(_headers[index].Message.Name, (int)Math.Min(_headers[index].Message.NameLength, NativeSockets.MaxAddress));

    /// <summary>Waits for one datagram and takes what else is there. Negative where the system reports an error.</summary>
    public int Receive(SafeSocketHandle socket)
    {
        for (int i = 0; i < Capacity; i++)
        {
            _headers[i].Message.NameLength = NativeSockets.MaxAddress;
        }

        return ReceiveBatch(socket, _headers, Capacity, WaitForOne, 0);
    }

    /// <summary>Puts a datagram of at most one slot in; false where there is no room for it.</summary>
    public bool TryAdd(ReadOnlySpan<byte> datagram, SocketAddress receiver)
    {
        if (Count == Capacity || datagram.Length > _slotBytes || receiver.Size > NativeSockets.MaxAddress)
        {
            return false;
        }

        datagram.CopyTo(new Span<byte>(_vectors[Count].Base, _slotBytes));
        receiver.Buffer.Span[..receiver.Size].CopyTo(new Span<byte>(_headers[Count].Message.Name, NativeSockets.MaxAddress));
        _vectors[Count].Length = (nuint)datagram.Length;
        _headers[Count].Message.NameLength = (uint)receiver.Size;
        _headers[Count].Length = (uint)datagram.Length;
        Count++;
        return true;
    }

    /// <summary>Sends from a datagram on and says how many went; not positive where that datagram met an error.</summary>
    public int Send(SafeSocketHandle socket, int from) => SendBatch(socket, _headers + from, (uint)(Count - from), 0);

    public void Clear() => Count = 0;

    public void Dispose()
    {
        NativeMemory.Free(_data);
        NativeMemory.Free(_names);
        NativeMemory.Free(_vectors);
        NativeMemory.Free(_headers);
        _data = _names = null;
        _vectors = null;
        _headers = null;
    }

    /// <summary>Waits so many microseconds. Not for waiting on a condition.</summary>
    public static void Pause(uint microseconds) => _ = SleepMicroseconds(microseconds);

    [LibraryImport("libc", EntryPoint = "recvmmsg", SetLastError = true)]
    private static partial int ReceiveBatch(SafeSocketHandle socket, BatchedHeader* headers, uint count, int flags, nint timeout);

    [LibraryImport("libc", EntryPoint = "sendmmsg", SetLastError = true)]
    private static partial int SendBatch(SafeSocketHandle socket, BatchedHeader* headers, uint count, int flags);

    [LibraryImport("libc", EntryPoint = "usleep")]
    private static partial int SleepMicroseconds(uint microseconds);
}
