using System.Buffers;
using System.Buffers.Binary;
using System.Security.Cryptography;

namespace PoeWatch.Snmp.Security;

/// <summary>Encrypts and decrypts scoped PDUs: CBC-DES (RFC 3414 section 8) and CFB128-AES (RFC 3826). Pure functions.</summary>
internal static class PrivacyCipher
{
    /// <summary>The length of msgPrivacyParameters for every cipher.</summary>
    public const int SaltLength = 8;

    private const int AesBlock = 16;
    private const int DesBlock = 8;

    /// <summary>Bytes of key material. DES takes eight for the key and eight for the pre-IV.</summary>
    public static int KeyLength(PrivacyProtocol protocol) => protocol switch
    {
        PrivacyProtocol.Des or PrivacyProtocol.Aes128 => 16,
        PrivacyProtocol.Aes192Reeder or PrivacyProtocol.Aes192Blumenthal => 24,
        PrivacyProtocol.Aes256Reeder or PrivacyProtocol.Aes256Blumenthal => 32,
        _ => 0,
    };

    /// <summary>How long the encrypted form of so many bytes is: DES fills up its last block.</summary>
    public static int EncryptedLength(PrivacyProtocol protocol, int length) =>
        protocol == PrivacyProtocol.Des ? RoundUp(length, DesBlock) : length;

    /// <summary>The salt of the message numbered <paramref name="counter"/>; it must never come again under one key.</summary>
    public static void WriteSalt(PrivacyProtocol protocol, int engineBoots, ulong counter, Span<byte> salt)
    {
        BinaryPrimitives.WriteUInt64BigEndian(salt, counter);
        if (protocol == PrivacyProtocol.Des)
        {
            BinaryPrimitives.WriteInt32BigEndian(salt, engineBoots);
        }
    }

    /// <summary>Encrypts into a destination of <see cref="EncryptedLength"/> bytes.</summary>
    public static void Encrypt(
        PrivacyProtocol protocol, ReadOnlySpan<byte> key, int boots, int time, ReadOnlySpan<byte> salt,
        ReadOnlySpan<byte> plain, Span<byte> encrypted)
    {
        int padded = RoundUp(plain.Length, AesBlock);
        byte[] room = ArrayPool<byte>.Shared.Rent(2 * padded);
        Span<byte> from = room.AsSpan(0, padded);
        Span<byte> to = room.AsSpan(padded, padded);
        plain.CopyTo(from);
        from[plain.Length..].Clear();
        if (protocol == PrivacyProtocol.Des)
        {
            using DES des = CreateDes(key);
            des.EncryptCbc(from[..encrypted.Length], DesIv(key, salt, stackalloc byte[DesBlock]), to, PaddingMode.None);
        }
        else
        {
            using Aes aes = CreateAes(key);
            aes.EncryptCfb(from, AesIv(boots, time, salt, stackalloc byte[AesBlock]), to, PaddingMode.None, 8 * AesBlock);
        }

        to[..encrypted.Length].CopyTo(encrypted);
        ArrayPool<byte>.Shared.Return(room, clearArray: true);
    }

    /// <summary>Decrypts into an array of its own, with a few bytes of filling at its end. False for an impossible length.</summary>
    public static bool TryDecrypt(
        PrivacyProtocol protocol, ReadOnlySpan<byte> key, int boots, int time, ReadOnlySpan<byte> salt,
        ReadOnlySpan<byte> encrypted, out byte[] plain)
    {
        plain = [];
        if (salt.Length != SaltLength || encrypted.IsEmpty)
        {
            return false;
        }

        if (protocol == PrivacyProtocol.Des)
        {
            if (encrypted.Length % DesBlock != 0)
            {
                return false;
            }

            plain = new byte[encrypted.Length];
            using DES des = CreateDes(key);
            des.DecryptCbc(encrypted, DesIv(key, salt, stackalloc byte[DesBlock]), plain, PaddingMode.None);
            return true;
        }

        // The platform's CFB128 takes whole blocks only; what follows the true length decrypts to filling that is not read.
        int padded = RoundUp(encrypted.Length, AesBlock);
        byte[] room = ArrayPool<byte>.Shared.Rent(padded);
        Span<byte> from = room.AsSpan(0, padded);
        encrypted.CopyTo(from);
        from[encrypted.Length..].Clear();
        plain = new byte[padded];
        using (Aes aes = CreateAes(key))
        {
            aes.DecryptCfb(from, AesIv(boots, time, salt, stackalloc byte[AesBlock]), plain, PaddingMode.None, 8 * AesBlock);
        }

        ArrayPool<byte>.Shared.Return(room);
        plain.AsSpan(encrypted.Length).Clear();
        return true;
    }

    private static DES CreateDes(ReadOnlySpan<byte> key)
    {
        DES des = DES.Create();
        des.Key = key[..DesBlock].ToArray();
        return des;
    }

    private static Aes CreateAes(ReadOnlySpan<byte> key)
    {
        Aes aes = Aes.Create();
        aes.SetKey(key);
        return aes;
    }

    /// <summary>RFC 3826 section 3.1.2.1: boots, time and salt.</summary>
    public static ReadOnlySpan<byte> AesIv(int boots, int time, ReadOnlySpan<byte> salt, Span<byte> iv)
    {
        BinaryPrimitives.WriteInt32BigEndian(iv, boots);
        BinaryPrimitives.WriteInt32BigEndian(iv[4..], time);
        salt.CopyTo(iv[8..]);
        return iv;
    }

    /// <summary>RFC 3414 section 8.1.1.1: the second half of the key material, changed by the salt.</summary>
    private static ReadOnlySpan<byte> DesIv(ReadOnlySpan<byte> key, ReadOnlySpan<byte> salt, Span<byte> iv)
    {
        for (int i = 0; i < DesBlock; i++)
        {
            iv[i] = (byte)(key[DesBlock + i] ^ salt[i]);
        }

        return iv;
    }

    private static int RoundUp(int length, int block) => (length + block - 1) / block * block;
}
