namespace PoeWatch.Snmp.Walking;

/// <summary>
/// A column's name, made ready for telling its rows: shared by all walks of a request, so that it is always at hand. Immutable.
/// </summary>
internal sealed class ColumnName
{
    public ColumnName(Oid column)
    {
        ReadOnlySpan<byte> name = column.Encoded;
        Column = column;
        Length = name.Length;
        HasWords = name.Length is >= sizeof(ulong) and <= 2 * sizeof(ulong);
        Head = HasWords ? BitConverter.ToUInt64(name) : 0;
        Tail = HasWords ? BitConverter.ToUInt64(name[^sizeof(ulong)..]) : 0;
    }

    public Oid Column { get; }

    /// <summary>Encoded bytes.</summary>
    public int Length { get; }

    /// <summary>True where <see cref="Head"/> and <see cref="Tail"/>, its first and last eight bytes, hold all of it.</summary>
    public bool HasWords { get; }

    public ulong Head { get; }

    public ulong Tail { get; }

    /// <summary>The table that the column stands in: its name without the last number, encoded.</summary>
    public ReadOnlySpan<byte> Table
    {
        get
        {
            ReadOnlySpan<byte> encoded = Column.Encoded;
            int end = encoded.Length - 1;
            while (end > 0 && encoded[end - 1] >= 0x80)
            {
                end--;
            }

            return encoded[..end];
        }
    }
}
