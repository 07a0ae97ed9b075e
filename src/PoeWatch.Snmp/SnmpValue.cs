using System.Globalization;
using System.Net;
using System.Text;

namespace PoeWatch.Snmp;

/// <summary>
/// The value of one variable. Immutable; <c>default</c> is <see cref="SnmpType.Null"/>. Ask by the <c>TryGet</c> methods:
/// an absent or ill-typed value is no number, and never zero. Octets out of an answer keep that answer's bytes alive.
/// </summary>
public readonly struct SnmpValue : IEquatable<SnmpValue>
{
    private static readonly UTF8Encoding StrictUtf8 = new(false, throwOnInvalidBytes: true);

    private readonly long _number;
    private readonly byte[]? _buffer;
    private readonly int _offset;
    private readonly int _length;

    internal SnmpValue(SnmpType type, long number = 0)
    {
        Type = type;
        _number = number;
    }

    internal SnmpValue(SnmpType type, byte[] buffer, int offset, int length)
    {
        Type = type;
        _buffer = buffer;
        _offset = offset;
        _length = length;
    }

    public SnmpType Type { get; }

    public static SnmpValue Null => default;

    public static SnmpValue NoSuchObject => new(SnmpType.NoSuchObject);

    public static SnmpValue NoSuchInstance => new(SnmpType.NoSuchInstance);

    public static SnmpValue EndOfMibView => new(SnmpType.EndOfMibView);

    /// <summary>False for <see cref="SnmpType.Null"/>, the three exceptions of RFC 3416 and undecodable values.</summary>
    public bool IsPresent => Type is not (SnmpType.Null or SnmpType.NoSuchObject or SnmpType.NoSuchInstance
        or SnmpType.EndOfMibView or SnmpType.Undecodable);

    internal ReadOnlySpan<byte> Bytes => new(_buffer, _offset, _length);

    /// <summary>The number's 64 bits, whatever the type makes of them.</summary>
    internal long RawNumber => _number;

    /// <summary>The unsigned 64 bits of a Counter64, which <see cref="_number"/> holds as they are.</summary>
    internal ulong UnsignedBits => unchecked((ulong)_number);

    public static SnmpValue Integer32(int value) => new(SnmpType.Integer32, value);

    public static SnmpValue Counter32(uint value) => new(SnmpType.Counter32, value);

    public static SnmpValue Gauge32(uint value) => new(SnmpType.Gauge32, value);

    /// <summary>Hundredths of a second.</summary>
    public static SnmpValue TimeTicks(uint value) => new(SnmpType.TimeTicks, value);

    public static SnmpValue Counter64(ulong value) => new(SnmpType.Counter64, unchecked((long)value));

    public static SnmpValue Octets(ReadOnlySpan<byte> value) => new(SnmpType.OctetString, value.ToArray(), 0, value.Length);

    public static SnmpValue Text(string value) => Octets(Encoding.UTF8.GetBytes(value));

    public static SnmpValue Opaque(ReadOnlySpan<byte> value) => new(SnmpType.Opaque, value.ToArray(), 0, value.Length);

    public static SnmpValue ObjectIdentifier(Oid value) =>
        new(SnmpType.ObjectIdentifier, value.Encoded.ToArray(), 0, value.Encoded.Length);

    /// <exception cref="ArgumentException">The address is not IPv4.</exception>
    public static SnmpValue IpAddress(IPAddress value)
    {
        ArgumentNullException.ThrowIfNull(value);
        byte[] bytes = value.GetAddressBytes();
        return bytes.Length == 4
            ? new SnmpValue(SnmpType.IpAddress, bytes, 0, bytes.Length)
            : throw new ArgumentException($"{value} is no IPv4 address; the type IpAddress holds no other.", nameof(value));
    }

    /// <summary>The number of any numeric type; false for a Counter64 above 2^63-1 and for everything that is no number.</summary>
    public bool TryGetInt64(out long number)
    {
        bool isNumber = Type is SnmpType.Integer32 or SnmpType.Counter32 or SnmpType.Gauge32 or SnmpType.TimeTicks
            || (Type == SnmpType.Counter64 && _number >= 0);
        number = isNumber ? _number : 0;
        return isNumber;
    }

    /// <summary>The number of any numeric type that is not negative.</summary>
    public bool TryGetUInt64(out ulong number)
    {
        bool isNumber = Type == SnmpType.Counter64 || (TryGetInt64(out long signed) && signed >= 0);
        number = isNumber ? UnsignedBits : 0;
        return isNumber;
    }

    /// <summary>The octets of an OctetString, Opaque or IpAddress.</summary>
    public bool TryGetOctets(out ReadOnlySpan<byte> octets)
    {
        bool hasOctets = Type is SnmpType.OctetString or SnmpType.Opaque or SnmpType.IpAddress;
        octets = hasOctets ? Bytes : default;
        return hasOctets;
    }

    /// <summary>An OctetString as UTF-8 without trailing NULs, which some agents add; false where it is not UTF-8.</summary>
    public bool TryGetText(out string text)
    {
        text = "";
        if (Type != SnmpType.OctetString)
        {
            return false;
        }

        try
        {
            text = StrictUtf8.GetString(Bytes.TrimEnd((byte)0));
            return true;
        }
        catch (DecoderFallbackException)
        {
            return false;
        }
    }

    public bool TryGetOid(out Oid oid)
    {
        bool isOid = Type == SnmpType.ObjectIdentifier && _buffer is not null;
        oid = isOid ? new Oid(_buffer!, _offset, _length) : default;
        return isOid;
    }

    public bool Equals(SnmpValue other) => Type == other.Type && _number == other._number && Bytes.SequenceEqual(other.Bytes);

    public override bool Equals(object? obj) => obj is SnmpValue other && Equals(other);

    public override int GetHashCode()
    {
        HashCode hash = default;
        hash.Add(Type);
        hash.Add(_number);
        hash.AddBytes(Bytes);
        return hash.ToHashCode();
    }

    /// <summary>For logs: the type and the value, octets as text where they are printable and as hexadecimal where not.</summary>
    public override string ToString() => Type switch
    {
        SnmpType.Counter64 => string.Create(CultureInfo.InvariantCulture, $"Counter64 {UnsignedBits}"),
        SnmpType.ObjectIdentifier when TryGetOid(out Oid oid) => $"ObjectIdentifier {oid}",
        SnmpType.IpAddress when _length == 4 => $"IpAddress {new IPAddress(Bytes)}",
        SnmpType.OctetString when TryGetText(out string text) && !text.Any(char.IsControl) => $"OctetString \"{text}\"",
        SnmpType.OctetString or SnmpType.Opaque or SnmpType.IpAddress or SnmpType.Undecodable =>
            $"{Type} 0x{Convert.ToHexString(Bytes)}",
        _ when TryGetInt64(out long number) => string.Create(CultureInfo.InvariantCulture, $"{Type} {number}"),
        _ => Type.ToString(),
    };

    public static bool operator ==(SnmpValue left, SnmpValue right) => left.Equals(right);

    public static bool operator !=(SnmpValue left, SnmpValue right) => !left.Equals(right);
}
