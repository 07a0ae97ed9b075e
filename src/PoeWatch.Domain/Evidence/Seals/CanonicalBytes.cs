using System.Buffers;
using System.Buffers.Binary;
using System.Text;

namespace PoeWatch.Domain.Evidence.Seals;

/// <summary>Writes the few forms that canonical rows are made of: numbers high byte first, text as UTF-8 behind its length. Not thread safe.</summary>
internal sealed class CanonicalBytes
{
    private readonly ArrayBufferWriter<byte> _bytes = new(128);

    public ReadOnlySpan<byte> Written => _bytes.WrittenSpan;

    public CanonicalBytes Clear()
    {
        _bytes.ResetWrittenCount();
        return this;
    }

    public CanonicalBytes Byte(int value)
    {
        _bytes.GetSpan(1)[0] = checked((byte)value);
        _bytes.Advance(1);
        return this;
    }

    public CanonicalBytes Int(int value)
    {
        BinaryPrimitives.WriteInt32BigEndian(_bytes.GetSpan(4), value);
        _bytes.Advance(4);
        return this;
    }

    public CanonicalBytes Long(long value)
    {
        BinaryPrimitives.WriteInt64BigEndian(_bytes.GetSpan(8), value);
        _bytes.Advance(8);
        return this;
    }

    /// <summary>One byte 0 for no value; else 1 and the value.</summary>
    public CanonicalBytes Maybe(long? value) => value is { } known ? Byte(1).Long(known) : Byte(0);

    public CanonicalBytes Text(string value)
    {
        var count = Encoding.UTF8.GetByteCount(value);
        Int(count);
        Encoding.UTF8.GetBytes(value, _bytes.GetSpan(count));
        _bytes.Advance(count);
        return this;
    }

    public CanonicalBytes Hash(Digest value)
    {
        value.CopyTo(_bytes.GetSpan(Digest.Bytes));
        _bytes.Advance(Digest.Bytes);
        return this;
    }
}
