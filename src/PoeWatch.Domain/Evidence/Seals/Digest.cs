using System.Buffers.Binary;

namespace PoeWatch.Domain.Evidence.Seals;

/// <summary>A SHA-256 value: 32 bytes, written as 64 lower-case hex digits. Immutable; <c>default</c> is 32 zero bytes, which stands for no value of ours.</summary>
public readonly record struct Digest(ulong First, ulong Second, ulong Third, ulong Fourth)
{
    /// <summary>Length in bytes.</summary>
    public const int Bytes = 32;

    /// <exception cref="ArgumentException">Not exactly 32 bytes.</exception>
    public static Digest Of(ReadOnlySpan<byte> bytes) => bytes.Length == Bytes
        ? new Digest(
            BinaryPrimitives.ReadUInt64BigEndian(bytes),
            BinaryPrimitives.ReadUInt64BigEndian(bytes[8..]),
            BinaryPrimitives.ReadUInt64BigEndian(bytes[16..]),
            BinaryPrimitives.ReadUInt64BigEndian(bytes[24..]))
        : throw new ArgumentException($"A SHA-256 value has {Bytes} bytes, not {bytes.Length}.", nameof(bytes));

    /// <summary>Reads 64 hex digits.</summary>
    public static bool TryParse(string? text, out Digest digest)
    {
        Span<byte> bytes = stackalloc byte[Bytes];
        digest = default;
        if (text is not { Length: Bytes * 2 } || Convert.FromHexString(text, bytes, out _, out _) != System.Buffers.OperationStatus.Done)
        {
            return false;
        }

        digest = Of(bytes);
        return true;
    }

    public void CopyTo(Span<byte> target)
    {
        BinaryPrimitives.WriteUInt64BigEndian(target, First);
        BinaryPrimitives.WriteUInt64BigEndian(target[8..], Second);
        BinaryPrimitives.WriteUInt64BigEndian(target[16..], Third);
        BinaryPrimitives.WriteUInt64BigEndian(target[24..], Fourth);
    }

    public byte[] ToArray()
    {
        var bytes = new byte[Bytes];
        CopyTo(bytes);
        return bytes;
    }

    public override string ToString()
    {
        Span<byte> bytes = stackalloc byte[Bytes];
        CopyTo(bytes);
        return Convert.ToHexStringLower(bytes);
    }
}
