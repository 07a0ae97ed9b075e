using System.Buffers;
using System.Collections.Immutable;
using System.Security.Cryptography;
using System.Text;
using PoeWatch.Domain.Readings;
using PoeWatch.Monitoring.Abstractions;

namespace PoeWatch.Monitoring.Storage;

/// <summary>
/// The interface names of one poll as bytes. Names rarely change, so a store keeps each set of names once, under its hash, and a poll
/// only refers to it. The element's id is not in the bytes: switches of one model share a set. Pure and thread safe.
/// </summary>
public static class InterfaceNamesCodec
{
    private const byte Version = 1;

    /// <summary>Packs names in port order: equal names give equal bytes.</summary>
    public static byte[] Encode(ImmutableDictionary<PsePortRef, string> names)
    {
        var output = new ArrayBufferWriter<byte>(16 + (names.Count * 24));
        output.WriteVarint(Version);
        output.WriteVarint((ulong)names.Count);
        foreach (var (port, name) in names.OrderBy(n => n.Key))
        {
            output.WriteVarint(checked((ulong)port.Group));
            output.WriteVarint(checked((ulong)port.Port));
            output.WriteVarint((ulong)Encoding.UTF8.GetByteCount(name));
            output.Write(Encoding.UTF8.GetBytes(name));
        }

        return output.WrittenSpan.ToArray();
    }

    /// <summary>SHA-256 of packed names: what a store finds them by.</summary>
    public static byte[] Hash(ReadOnlySpan<byte> packed) => SHA256.HashData(packed);

    /// <summary>Unpacks names for one element.</summary>
    /// <exception cref="StoreException">The bytes do not match their hash or cannot be read.</exception>
    public static ImmutableDictionary<PsePortRef, string> Decode(ReadOnlySpan<byte> packed, ReadOnlySpan<byte> hash, string pseId)
    {
        try
        {
            if (!Hash(packed).AsSpan().SequenceEqual(hash))
            {
                throw new InvalidDataException("they do not match their hash");
            }

            return DecodeChecked(packed, pseId);
        }
        catch (InvalidDataException e)
        {
            throw new StoreException($"Stored interface names of '{pseId}' cannot be read: {e.Message}. Restore the store from a backup.", e);
        }
    }

    private static ImmutableDictionary<PsePortRef, string> DecodeChecked(ReadOnlySpan<byte> packed, string pseId)
    {
        var input = new PackedReader(packed);
        if (input.ReadVarint() is var version and not Version)
        {
            throw new InvalidDataException($"their layout is version {version}, this software reads version {Version}");
        }

        var count = input.ReadCount("names", 3);
        var names = ImmutableDictionary.CreateBuilder<PsePortRef, string>();
        for (var i = 0; i < count; i++)
        {
            var port = new PsePortRef(pseId, input.ReadInt("group"), input.ReadInt("port"));
            names[port] = Encoding.UTF8.GetString(input.ReadBytes(input.ReadInt("length")));
        }

        return input.Remaining == 0 ? names.ToImmutable() : throw new InvalidDataException($"{input.Remaining} bytes too many");
    }
}
