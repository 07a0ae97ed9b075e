using System.Buffers.Binary;
using System.Security.Cryptography;
using System.Text;

namespace PoeWatch.Monitoring.Storage.Moves;

/// <summary>
/// Says whether two tables hold the same rows, in whatever order they are read: the number of rows, and the sum of the first 128 bits of each row's SHA-256.
/// Two rows that are equal count twice, so the keys of the tables make it a comparison of sets. Not thread safe.
/// </summary>
public sealed class TableDigest
{
    private readonly RowBytes _bytes = new();
    private UInt128 _sum;

    /// <summary>Rows so far.</summary>
    public long Rows { get; private set; }

    /// <summary>Adds a row: values as <see cref="Abstractions.IStoreTables"/> gives them.</summary>
    public void Add(IReadOnlyList<object?> row)
    {
        _bytes.Clear();
        foreach (var value in row)
        {
            _bytes.Add(value);
        }

        Span<byte> hash = stackalloc byte[SHA256.HashSizeInBytes];
        SHA256.HashData(_bytes.Written, hash);
        _sum = unchecked(_sum + BinaryPrimitives.ReadUInt128BigEndian(hash));
        Rows++;
    }

    /// <summary>True where both saw the same rows.</summary>
    public bool IsSameAs(TableDigest other) => Rows == other.Rows && _sum == other._sum;

    public override string ToString() => FormattableString.Invariant($"{Rows} rows, {_sum:x32}");

    // Each value is written with its kind and, where it has no fixed size, its length: no two different rows have the same bytes.
    private sealed class RowBytes
    {
        private readonly System.Buffers.ArrayBufferWriter<byte> _output = new(4096);

        internal ReadOnlySpan<byte> Written => _output.WrittenSpan;

        internal void Clear() => _output.ResetWrittenCount();

        internal void Add(object? value)
        {
            switch (value)
            {
                case null:
                    Head(0, 0);
                    break;
                case long number:
                    Head(1, number);
                    break;
                case bool truth:
                    Head(2, truth ? 1 : 0);
                    break;
                case string text:
                    Body(3, Encoding.UTF8.GetBytes(text));
                    break;
                case byte[] bytes:
                    Body(4, bytes);
                    break;
                default:
                    throw new ArgumentException($"A value of type {value.GetType()} is none that a store gives.", nameof(value));
            }
        }

        private void Head(byte kind, long number)
        {
            var head = _output.GetSpan(9);
            head[0] = kind;
            BinaryPrimitives.WriteInt64LittleEndian(head[1..], number);
            _output.Advance(9);
        }

        private void Body(byte kind, ReadOnlySpan<byte> bytes)
        {
            Head(kind, bytes.Length);
            bytes.CopyTo(_output.GetSpan(bytes.Length));
            _output.Advance(bytes.Length);
        }
    }
}
