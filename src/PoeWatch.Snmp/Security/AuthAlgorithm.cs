using System.Security.Cryptography;

namespace PoeWatch.Snmp.Security;

/// <summary>
/// The hashes behind the authentication protocols: key and digest lengths, hash and HMAC. RFC 3414 sections 6 and 7 for MD5
/// and SHA-1, RFC 7860 section 4 for the others. Pure functions.
/// </summary>
internal static class AuthAlgorithm
{
    /// <summary>The longest hash and so the longest key: SHA-512.</summary>
    public const int MaxHashLength = 64;

    /// <summary>The longest digest that a message carries: SHA-512's.</summary>
    public const int MaxDigestLength = 48;

    /// <summary>Bytes of the hash, which is also the key length.</summary>
    public static int HashLength(AuthProtocol protocol) => protocol switch
    {
        AuthProtocol.Md5 => 16,
        AuthProtocol.Sha1 => 20,
        AuthProtocol.Sha224 => 28,
        AuthProtocol.Sha256 => 32,
        AuthProtocol.Sha384 => 48,
        AuthProtocol.Sha512 => 64,
        _ => 0,
    };

    /// <summary>Bytes of the HMAC that travel in a message; the rest is cut off.</summary>
    public static int DigestLength(AuthProtocol protocol) => protocol switch
    {
        AuthProtocol.Md5 => 12,
        AuthProtocol.Sha1 => 12,
        AuthProtocol.Sha224 => 16,
        AuthProtocol.Sha256 => 24,
        AuthProtocol.Sha384 => 32,
        AuthProtocol.Sha512 => 48,
        _ => 0,
    };

    public static void Hash(AuthProtocol protocol, ReadOnlySpan<byte> data, Span<byte> hash)
    {
        switch (protocol)
        {
            case AuthProtocol.Md5: MD5.HashData(data, hash); break;
            case AuthProtocol.Sha1: SHA1.HashData(data, hash); break;
            case AuthProtocol.Sha224: Sha224.HashData(data, hash); break;
            case AuthProtocol.Sha256: SHA256.HashData(data, hash); break;
            case AuthProtocol.Sha384: SHA384.HashData(data, hash); break;
            case AuthProtocol.Sha512: SHA512.HashData(data, hash); break;
            default: throw new ArgumentOutOfRangeException(nameof(protocol), protocol, "No hash belongs to this protocol.");
        }
    }

    public static void Hmac(AuthProtocol protocol, ReadOnlySpan<byte> key, ReadOnlySpan<byte> data, Span<byte> hash)
    {
        switch (protocol)
        {
            case AuthProtocol.Md5: HMACMD5.HashData(key, data, hash); break;
            case AuthProtocol.Sha1: HMACSHA1.HashData(key, data, hash); break;
            case AuthProtocol.Sha224: Sha224.HmacData(key, data, hash); break;
            case AuthProtocol.Sha256: HMACSHA256.HashData(key, data, hash); break;
            case AuthProtocol.Sha384: HMACSHA384.HashData(key, data, hash); break;
            case AuthProtocol.Sha512: HMACSHA512.HashData(key, data, hash); break;
            default: throw new ArgumentOutOfRangeException(nameof(protocol), protocol, "No HMAC belongs to this protocol.");
        }
    }

    /// <summary>Writes the message's digest at <paramref name="digestOffset"/>, where zeros stand.</summary>
    public static void Sign(AuthProtocol protocol, ReadOnlySpan<byte> key, Span<byte> message, int digestOffset)
    {
        Span<byte> hash = stackalloc byte[MaxHashLength];
        Hmac(protocol, key, message, hash);
        hash[..DigestLength(protocol)].CopyTo(message[digestOffset..]);
    }

    /// <summary>
    /// Checks a digest over the message's original bytes: the digest itself is zeroed in place first, nothing is encoded
    /// anew. The comparison takes the same time wherever the difference is.
    /// </summary>
    public static bool Verify(AuthProtocol protocol, ReadOnlySpan<byte> key, Span<byte> message, int digestOffset, int digestLength)
    {
        if (digestLength != DigestLength(protocol))
        {
            return false;
        }

        Span<byte> claimed = stackalloc byte[MaxDigestLength];
        Span<byte> place = message.Slice(digestOffset, digestLength);
        place.CopyTo(claimed);
        place.Clear();
        Span<byte> hash = stackalloc byte[MaxHashLength];
        Hmac(protocol, key, message, hash);
        return CryptographicOperations.FixedTimeEquals(hash[..digestLength], claimed[..digestLength]);
    }
}
