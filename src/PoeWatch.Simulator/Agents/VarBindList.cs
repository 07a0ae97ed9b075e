using System.Diagnostics;
using PoeWatch.Snmp;
using PoeWatch.Snmp.Codec;

namespace PoeWatch.Simulator.Agents;

/// <summary>Encoded variable bindings, in order, up to a size: an answer grows until the next one no longer fits.</summary>
internal ref struct VarBindList(Span<byte> buffer)
{
    // The longest name takes 640 bytes, the longest text that a simulated agent holds 255.
    private const int LongestBinding = 1024;

    private readonly Span<byte> _buffer = buffer;
    private int _length;

    /// <summary>The bindings so far, without the tag and length around the list.</summary>
    public readonly ReadOnlySpan<byte> Encoded => _buffer[.._length];

    /// <summary>False where the binding does not fit any more; the list is then as before.</summary>
    public bool TryAdd(Oid name, SnmpValue value)
    {
        var writer = new BerWriter(stackalloc byte[LongestBinding]);
        WriteValue(ref writer, value);
        writer.WriteOid(name);
        writer.Wrap(BerTag.Sequence, 0);
        if (writer.Length > _buffer.Length - _length)
        {
            return false;
        }

        writer.Written.CopyTo(_buffer[_length..]);
        _length += writer.Length;
        return true;
    }

    private static void WriteValue(ref BerWriter writer, SnmpValue value)
    {
        switch (value.Type)
        {
            case SnmpType.Integer32 when value.TryGetInt64(out var number):
                writer.WriteInteger(number);
                break;
            case SnmpType.Counter32 when value.TryGetUInt64(out var number):
                writer.WriteUnsigned(BerTag.Counter32, number);
                break;
            case SnmpType.Gauge32 when value.TryGetUInt64(out var number):
                writer.WriteUnsigned(BerTag.Gauge32, number);
                break;
            case SnmpType.TimeTicks when value.TryGetUInt64(out var number):
                writer.WriteUnsigned(BerTag.TimeTicks, number);
                break;
            case SnmpType.OctetString:
                writer.WriteOctets(BerTag.OctetString, value.Bytes);
                break;
            case SnmpType.ObjectIdentifier:
                writer.WriteOctets(BerTag.ObjectIdentifier, value.Bytes);
                break;
            case SnmpType.NoSuchObject:
                writer.WriteNull(BerTag.NoSuchObject);
                break;
            case SnmpType.NoSuchInstance:
                writer.WriteNull(BerTag.NoSuchInstance);
                break;
            case SnmpType.EndOfMibView:
                writer.WriteNull(BerTag.EndOfMibView);
                break;
            case SnmpType.Null:
                writer.WriteNull();
                break;
            default:
                throw new UnreachableException($"No simulated agent holds a value of type {value.Type}.");
        }
    }
}
