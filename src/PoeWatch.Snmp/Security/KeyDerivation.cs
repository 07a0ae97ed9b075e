using System.Buffers;
using System.Security.Cryptography;

namespace PoeWatch.Snmp.Security;

/// <summary>From passphrases to keys (RFC 3414 section 2.6 and appendix A.2). Pure functions.</summary>
internal static class KeyDerivation
{
    /// <summary>The passphrase is repeated to this many bytes before it is hashed.</summary>
    private const int StretchedLength = 1_048_576;

    /// <summary>Ku: the user's key, the same for all engines. Costs a hash over one MiB.</summary>
    public static byte[] FromPassphrase(AuthProtocol protocol, ReadOnlySpan<byte> passphrase)
    {
        byte[] stretched = ArrayPool<byte>.Shared.Rent(StretchedLength);
        try
        {
            passphrase.CopyTo(stretched);
            for (int filled = passphrase.Length; filled < StretchedLength; filled *= 2)
            {
                stretched.AsSpan(0, Math.Min(filled, StretchedLength - filled)).CopyTo(stretched.AsSpan(filled));
            }

            byte[] key = new byte[AuthAlgorithm.HashLength(protocol)];
            AuthAlgorithm.Hash(protocol, stretched.AsSpan(0, StretchedLength), key);
            return key;
        }
        finally
        {
            ArrayPool<byte>.Shared.Return(stretched, clearArray: true);
        }
    }

    /// <summary>Kul: the user's key at one engine, the hash of Ku, engine id and Ku.</summary>
    public static byte[] Localize(AuthProtocol protocol, ReadOnlySpan<byte> userKey, ReadOnlySpan<byte> engineId)
    {
        Span<byte> joined = stackalloc byte[(2 * AuthAlgorithm.MaxHashLength) + Codec.UsmMessage.MaxEngineIdLength];
        joined = joined[..((2 * userKey.Length) + engineId.Length)];
        userKey.CopyTo(joined);
        engineId.CopyTo(joined[userKey.Length..]);
        userKey.CopyTo(joined[(userKey.Length + engineId.Length)..]);
        byte[] key = new byte[AuthAlgorithm.HashLength(protocol)];
        AuthAlgorithm.Hash(protocol, joined, key);
        CryptographicOperations.ZeroMemory(joined);
        return key;
    }

    /// <summary>A cipher's key: the localised key, stretched by the cipher's draft where too short, cut where too long.</summary>
    public static byte[] ForPrivacy(
        AuthProtocol auth, PrivacyProtocol privacy, ReadOnlySpan<byte> localizedKey, ReadOnlySpan<byte> engineId)
    {
        byte[] key = new byte[PrivacyCipher.KeyLength(privacy)];
        int filled = Math.Min(localizedKey.Length, key.Length);
        localizedKey[..filled].CopyTo(key);
        byte[] last = localizedKey.ToArray();
        while (filled < key.Length)
        {
            byte[] more = privacy is PrivacyProtocol.Aes192Blumenthal or PrivacyProtocol.Aes256Blumenthal
                ? HashOf(auth, key.AsSpan(0, filled))
                : LocalizedFrom(auth, last, engineId);
            CryptographicOperations.ZeroMemory(last);
            last = more;
            int taken = Math.Min(more.Length, key.Length - filled);
            more.AsSpan(0, taken).CopyTo(key.AsSpan(filled));
            filled += taken;
        }

        CryptographicOperations.ZeroMemory(last);
        return key;
    }

    /// <summary>draft-blumenthal-aes-usm-04 section 3.1.2.1: append the hash of the key so far.</summary>
    private static byte[] HashOf(AuthProtocol auth, ReadOnlySpan<byte> keySoFar)
    {
        byte[] hash = new byte[AuthAlgorithm.HashLength(auth)];
        AuthAlgorithm.Hash(auth, keySoFar, hash);
        return hash;
    }

    /// <summary>draft-reeder-snmpv3-usm-3desede-00 section 2.1: the last key serves as passphrase of the next one.</summary>
    private static byte[] LocalizedFrom(AuthProtocol auth, ReadOnlySpan<byte> lastKey, ReadOnlySpan<byte> engineId)
    {
        byte[] userKey = FromPassphrase(auth, lastKey);
        byte[] localized = Localize(auth, userKey, engineId);
        CryptographicOperations.ZeroMemory(userKey);
        return localized;
    }
}
