using System.Buffers;
using System.Security.Cryptography;

namespace PoeWatch.Snmp.Security;

/// <summary>
/// The cipher of one session with its key made ready once: CFB128 out of the platform's AES by single blocks, so that a message costs no
/// allocation and any length comes out right; DES as <see cref="PrivacyCipher"/> has it. Agrees with it byte for byte. Thread-safe.
/// </summary>
internal sealed class SessionCipher : IDisposable
{
    private const int Block = 16;

    private readonly Lock _lock = new();
    private readonly PrivacyProtocol _protocol;
    private readonly byte[] _key;
    private readonly byte[] _from = new byte[Block];
    private readonly byte[] _to = new byte[Block];
    private ICryptoTransform? _aes;
    private bool _wiped;

    /// <param name="protocol">Which cipher.</param>
    /// <param name="key">Its key; this object wipes it at its end.</param>
    public SessionCipher(PrivacyProtocol protocol, byte[] key)
    {
        _protocol = protocol;
        _key = key;
    }

    public void Encrypt(int boots, int time, ReadOnlySpan<byte> salt, ReadOnlySpan<byte> plain, Span<byte> encrypted)
    {
        lock (_lock)
        {
            if (_protocol == PrivacyProtocol.Des || _wiped)
            {
                PrivacyCipher.Encrypt(_protocol, _key, boots, time, salt, plain, encrypted);
                return;
            }

            ICryptoTransform aes = _aes ??= CreateAes(_key);
            PrivacyCipher.AesIv(boots, time, salt, _from);
            for (int at = 0; at < plain.Length; at += Block)
            {
                aes.TransformBlock(_from, 0, Block, _to, 0);
                int length = Math.Min(Block, plain.Length - at);
                Mix(plain.Slice(at, length), _to, encrypted.Slice(at, length));
                encrypted.Slice(at, length).CopyTo(_from);
            }
        }
    }

    /// <summary>Decrypts in place. False for an impossible length.</summary>
    public bool TryDecrypt(int boots, int time, ReadOnlySpan<byte> salt, Span<byte> data)
    {
        if (_protocol == PrivacyProtocol.Des)
        {
            bool done = PrivacyCipher.TryDecrypt(_protocol, _key, boots, time, salt, data, out byte[] plain);
            plain.AsSpan(0, Math.Min(plain.Length, data.Length)).CopyTo(data);
            return done;
        }

        if (salt.Length != PrivacyCipher.SaltLength || data.IsEmpty)
        {
            return false;
        }

        // What each block is mixed with depends on the encrypted bytes alone: all of it in one call.
        int padded = (data.Length + Block - 1) / Block * Block;
        byte[] room = ArrayPool<byte>.Shared.Rent(2 * padded);
        PrivacyCipher.AesIv(boots, time, salt, room);
        data[..(padded - Block)].CopyTo(room.AsSpan(Block));
        lock (_lock)
        {
            (_aes ??= CreateAes(_key)).TransformBlock(room, 0, padded, room, padded);
        }

        Mix(data, room.AsSpan(padded), data);
        CryptographicOperations.ZeroMemory(room.AsSpan(padded, padded));
        ArrayPool<byte>.Shared.Return(room);
        return true;
    }

    /// <summary>Overwrites the key. What is encrypted or decrypted afterwards comes out as nonsense, without an error.</summary>
    public void Dispose()
    {
        lock (_lock)
        {
            _wiped = true;
            CryptographicOperations.ZeroMemory(_key);
            _aes?.Dispose();
            _aes = null;
        }
    }

    /// <summary>Single blocks: the chaining of CFB128 (NIST SP 800-38A section 6.3) stands above.</summary>
    private static ICryptoTransform CreateAes(byte[] key)
    {
        using Aes aes = Aes.Create();
        aes.SetKey(key);
#pragma warning disable CA5358 // Never a message block by block: only what CFB mixes with.
        aes.Mode = CipherMode.ECB;
#pragma warning restore CA5358
        aes.Padding = PaddingMode.None;
        return aes.CreateEncryptor();
    }

    private static void Mix(ReadOnlySpan<byte> data, ReadOnlySpan<byte> with, Span<byte> result)
    {
        int i = 0;
        for (; i <= data.Length - sizeof(ulong); i += sizeof(ulong))
        {
            BitConverter.TryWriteBytes(result[i..], BitConverter.ToUInt64(data[i..]) ^ BitConverter.ToUInt64(with[i..]));
        }

        for (; i < data.Length; i++)
        {
            result[i] = (byte)(data[i] ^ with[i]);
        }
    }
}
