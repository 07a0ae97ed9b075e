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
    public const int Capacity = 16;

    /// <summary>
    /// Room of one datagram as they almost all are, what an Ethernet carries. No power of two: such slots would all fall upon the same few
    /// lines of the processor's cache.
    /// </summary>
    private const int SlotBytes = 1600;

    private const int WaitForOne = 0x10000;

    private readonly int _restBytes;
    private readonly byte[] _whole;
    private byte* _data;
    private byte* _rests;
    private byte* _names;
    private IoVector* _vectors;
    private BatchedHeader* _headers;

    /// <param name="largestBytes">The largest datagram that has room.</param>
    public DatagramBatch(int largestBytes)
    {
        _restBytes = Math.Max(0, largestBytes - SlotBytes);
        _whole = new byte[largestBytes];
        _data = (byte*)NativeMemory.Alloc(Capacity, SlotBytes);
        _rests = (byte*)NativeMemory.Alloc(Capacity, (nuint)_restBytes);
        _names = (byte*)NativeMemory.AllocZeroed(Capacity, NativeSockets.MaxAddress);
        _vectors = (IoVector*)NativeMemory.AllocZeroed(2 * Capacity, (nuint)sizeof(IoVector));
        _headers = (BatchedHeader*)NativeMemory.AllocZeroed(Capacity, (nuint)sizeof(BatchedHeader));
        for (int i = 0; i < Capacity; i++)
        {
            _vectors[2 * i].Base = _data + (i * SlotBytes);
            _vectors[(2 * i) + 1].Base = _rests + ((nint)i * _restBytes);
            _headers[i].Message.Name = _names + (i * NativeSockets.MaxAddress);
            _headers[i].Message.Vectors = _vectors + (2 * i);
        }
    }

    /// <summary>Datagrams to send.</summary>
    public int Count { get; private set; }

    /// <summary>Room for a datagram, for other purposes.</summary>
    public Span<byte> Room => _whole;

    /// <summary>The bytes of a datagram; of a large one until the next large one is asked for.</summary>
    public Span<byte> Datagram(int index)
    {
        int length = (int)_headers[index].Length;
        Span<byte> first = new(_vectors[2 * index].Base, Math.Min(length, SlotBytes));
        if (length <= SlotBytes)
        {
            return first;
        }

        first.CopyTo(_whole);
        new ReadOnlySpan<byte>(_vectors[(2 * index) + 1].Base, length - SlotBytes).CopyTo(_whole.AsSpan(SlotBytes));
        return _whole.AsSpan(0, length);
    }

    public ReadOnlySpan<byte> Address(int index) =>
        new(_headers[index].Message.Name, (int)Math.Min(_headers[index].Message.NameLength, NativeSockets.MaxAddress));

    /// <summary>Waits for one datagram and takes what else is there. Negative where the system reports an error.</summary>
    public int Receive(SafeSocketHandle socket)
    {
        for (int i = 0; i < Capacity; i++)
        {
            _vectors[2 * i].Length = SlotBytes;
            _vectors[(2 * i) + 1].Length = (nuint)_restBytes;
            _headers[i].Message.VectorCount = 2;
            _headers[i].Message.NameLength = NativeSockets.MaxAddress;
        }

        return ReceiveBatch(socket, _headers, Capacity, WaitForOne, 0);
    }

    /// <summary>Puts a datagram of at most one slot in; false where there is no room for it.</summary>
    public bool TryAdd(ReadOnlySpan<byte> datagram, SocketAddress receiver)
    {
        if (Count == Capacity || datagram.Length > SlotBytes || receiver.Size > NativeSockets.MaxAddress)
        {
            return false;
        }

        datagram.CopyTo(new Span<byte>(_vectors[2 * Count].Base, SlotBytes));
        receiver.Buffer.Span[..receiver.Size].CopyTo(new Span<byte>(_headers[Count].Message.Name, NativeSockets.MaxAddress));
        _vectors[2 * Count].Length = (nuint)datagram.Length;
        _headers[Count].Message.VectorCount = 1;
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
        NativeMemory.Free(_rests);
        NativeMemory.Free(_names);
        NativeMemory.Free(_vectors);
        NativeMemory.Free(_headers);
        _data = _rests = _names = null;
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
