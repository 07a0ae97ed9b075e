using System.Buffers.Binary;
using System.Numerics;

namespace PoeWatch.Snmp.Security;

/// <summary>
/// SHA-224 (FIPS 180-4 section 6.3), which the platform does not offer and RFC 7860 asks for: SHA-256 with other initial
/// values and the last word dropped. Feed with <see cref="Append"/>, take the digest once with <see cref="Finish"/>.
/// </summary>
internal ref struct Sha224
{
    public const int DigestLength = 28;
    public const int BlockLength = 64;

    private static readonly uint[] Constants =
    [
        0x428a2f98, 0x71374491, 0xb5c0fbcf, 0xe9b5dba5, 0x3956c25b, 0x59f111f1, 0x923f82a4, 0xab1c5ed5,
        0xd807aa98, 0x12835b01, 0x243185be, 0x550c7dc3, 0x72be5d74, 0x80deb1fe, 0x9bdc06a7, 0xc19bf174,
        0xe49b69c1, 0xefbe4786, 0x0fc19dc6, 0x240ca1cc, 0x2de92c6f, 0x4a7484aa, 0x5cb0a9dc, 0x76f988da,
        0x983e5152, 0xa831c66d, 0xb00327c8, 0xbf597fc7, 0xc6e00bf3, 0xd5a79147, 0x06ca6351, 0x14292967,
        0x27b70a85, 0x2e1b2138, 0x4d2c6dfc, 0x53380d13, 0x650a7354, 0x766a0abb, 0x81c2c92e, 0x92722c85,
        0xa2bfe8a1, 0xa81a664b, 0xc24b8b70, 0xc76c51a3, 0xd192e819, 0xd6990624, 0xf40e3585, 0x106aa070,
        0x19a4c116, 0x1e376c08, 0x2748774c, 0x34b0bcb5, 0x391c0cb3, 0x4ed8aa4a, 0x5b9cca4f, 0x682e6ff3,
        0x748f82ee, 0x78a5636f, 0x84c87814, 0x8cc70208, 0x90befffa, 0xa4506ceb, 0xbef9a3f7, 0xc67178f2,
    ];

    private readonly Span<byte> _block;
    private readonly Span<uint> _state;
    private long _total;

    /// <param name="block">Working room of <see cref="BlockLength"/> bytes.</param>
    /// <param name="state">Working room of eight words.</param>
    public Sha224(Span<byte> block, Span<uint> state)
    {
        _block = block;
        _state = state;
        ReadOnlySpan<uint> initial =
            [0xc1059ed8, 0x367cd507, 0x3070dd17, 0xf70e5939, 0xffc00b31, 0x68581511, 0x64f98fa7, 0xbefa4fa4];
        initial.CopyTo(state);
    }

    /// <summary>The digest of one piece of data.</summary>
    public static void HashData(ReadOnlySpan<byte> data, Span<byte> digest)
    {
        Sha224 hash = new(stackalloc byte[BlockLength], stackalloc uint[8]);
        hash.Append(data);
        hash.Finish(digest);
    }

    /// <summary>HMAC-SHA-224 (RFC 2104) of one piece of data.</summary>
    public static void HmacData(ReadOnlySpan<byte> key, ReadOnlySpan<byte> data, Span<byte> digest)
    {
        Span<byte> pad = stackalloc byte[BlockLength];
        pad.Clear();
        if (key.Length > BlockLength)
        {
            HashData(key, pad);
        }
        else
        {
            key.CopyTo(pad);
        }

        Span<byte> block = stackalloc byte[BlockLength];
        Span<uint> state = stackalloc uint[8];
        Span<byte> inner = stackalloc byte[DigestLength];
        Flip(pad, 0x36);
        Sha224 innerHash = new(block, state);
        innerHash.Append(pad);
        innerHash.Append(data);
        innerHash.Finish(inner);

        Flip(pad, 0x36 ^ 0x5C);
        Sha224 outerHash = new(block, state);
        outerHash.Append(pad);
        outerHash.Append(inner);
        outerHash.Finish(digest);
        pad.Clear();
    }

    public void Append(scoped ReadOnlySpan<byte> data)
    {
        while (!data.IsEmpty)
        {
            int filled = (int)(_total % BlockLength);
            int taken = Math.Min(BlockLength - filled, data.Length);
            data[..taken].CopyTo(_block[filled..]);
            data = data[taken..];
            _total += taken;
            if (_total % BlockLength == 0)
            {
                Compress();
            }
        }
    }

    public void Finish(scoped Span<byte> digest)
    {
        long bits = _total * 8;
        Append([0x80]);
        while (_total % BlockLength != BlockLength - 8)
        {
            Append([0]);
        }

        BinaryPrimitives.WriteInt64BigEndian(_block[(BlockLength - 8)..], bits);
        Compress();
        for (int i = 0; i < DigestLength / 4; i++)
        {
            BinaryPrimitives.WriteUInt32BigEndian(digest[(4 * i)..], _state[i]);
        }
    }

    private static void Flip(Span<byte> pad, byte mask)
    {
        foreach (ref byte octet in pad)
        {
            octet ^= mask;
        }
    }

    private readonly void Compress()
    {
        unchecked
        {
            Span<uint> w = stackalloc uint[64];
            for (int t = 0; t < 16; t++)
            {
                w[t] = BinaryPrimitives.ReadUInt32BigEndian(_block[(4 * t)..]);
            }

            for (int t = 16; t < 64; t++)
            {
                uint s0 = BitOperations.RotateRight(w[t - 15], 7) ^ BitOperations.RotateRight(w[t - 15], 18) ^ (w[t - 15] >> 3);
                uint s1 = BitOperations.RotateRight(w[t - 2], 17) ^ BitOperations.RotateRight(w[t - 2], 19) ^ (w[t - 2] >> 10);
                w[t] = w[t - 16] + s0 + w[t - 7] + s1;
            }

            (uint a, uint b, uint c, uint d) = (_state[0], _state[1], _state[2], _state[3]);
            (uint e, uint f, uint g, uint h) = (_state[4], _state[5], _state[6], _state[7]);
            for (int t = 0; t < 64; t++)
            {
                uint s1 = BitOperations.RotateRight(e, 6) ^ BitOperations.RotateRight(e, 11) ^ BitOperations.RotateRight(e, 25);
                uint t1 = h + s1 + ((e & f) ^ (~e & g)) + Constants[t] + w[t];
                uint s0 = BitOperations.RotateRight(a, 2) ^ BitOperations.RotateRight(a, 13) ^ BitOperations.RotateRight(a, 22);
                uint t2 = s0 + ((a & b) ^ (a & c) ^ (b & c));
                (h, g, f, e, d, c, b, a) = (g, f, e, d + t1, c, b, a, t1 + t2);
            }

            _state[0] += a;
            _state[1] += b;
            _state[2] += c;
            _state[3] += d;
            _state[4] += e;
            _state[5] += f;
            _state[6] += g;
            _state[7] += h;
        }
    }
}
