using System.Collections.Frozen;
using PoeWatch.Snmp;

namespace PoeWatch.Monitoring.Polling.DrawSources;

/// <summary>Columns that are read now and then and kept between polls: values of their own, by index. Immutable.</summary>
internal sealed class SlowAnswers
{
    private static readonly FrozenDictionary<CellIndex, SnmpValue> s_nothing = FrozenDictionary<CellIndex, SnmpValue>.Empty;

    private readonly Dictionary<Oid, IReadOnlyDictionary<CellIndex, SnmpValue>> _columns = [];

    public SlowAnswers(params IEnumerable<WalkColumn> columns)
    {
        foreach (WalkColumn column in columns)
        {
            var cells = new Dictionary<CellIndex, SnmpValue>();
            foreach (VarBind cell in column.Cells)
            {
                if (CellIndex.Of(column.Column, cell.Oid) is { } index)
                {
                    cells[index] = Owned(cell.Value);
                }
            }

            if (cells.Count > 0)
            {
                _columns[column.Column.ToOwned()] = cells;
            }
        }
    }

    private SlowAnswers(Dictionary<Oid, IReadOnlyDictionary<CellIndex, SnmpValue>> columns) => _columns = columns;

    public static SlowAnswers None { get; } = new();

    /// <summary>The column's values; empty where the agent has none.</summary>
    public IReadOnlyDictionary<CellIndex, SnmpValue> this[Oid column] => _columns.GetValueOrDefault(column, s_nothing);

    /// <summary>The same without some columns.</summary>
    public SlowAnswers Without(IReadOnlySet<Oid> columns) => new(_columns.Where(column => !columns.Contains(column.Key)).ToDictionary());

    public bool Has(Oid column) => _columns.ContainsKey(column);

    public long? Number(Oid column, CellIndex index) =>
        this[column].TryGetValue(index, out SnmpValue value) && value.TryGetInt64(out var number) ? number : null;

    public string? Text(Oid column, CellIndex index) =>
        this[column].TryGetValue(index, out SnmpValue value) && value.TryGetText(out var text) ? text : null;

    // A value may look into the answer that it came in; kept ones must not.
    private static SnmpValue Owned(SnmpValue value) =>
        value.Type == SnmpType.OctetString && value.TryGetOctets(out ReadOnlySpan<byte> octets) ? SnmpValue.Octets(octets)
        : value.TryGetOid(out Oid oid) ? SnmpValue.ObjectIdentifier(oid)
        : value;
}
