using System.Collections.Immutable;
using PoeWatch.Snmp;

namespace PoeWatch.Monitoring.Polling.DrawSources;

/// <summary>The columns of one poll, found by their OID. Ends with the walks that it looks into.</summary>
internal sealed class FastAnswers
{
    private readonly ImmutableArray<WalkColumn> _columns;

    public FastAnswers(params IEnumerable<WalkColumn> columns) => _columns = [.. columns];

    public static FastAnswers None { get; } = new();

    /// <summary>The column, or null where it was not asked for.</summary>
    public WalkColumn? Column(Oid oid)
    {
        foreach (WalkColumn column in _columns)
        {
            if (column.Column == oid)
            {
                return column;
            }
        }

        return null;
    }

    /// <summary>The values of a column by index, in the agent's order; none where it was not asked for or not answered.</summary>
    public IEnumerable<(CellIndex Index, SnmpValue Value)> Cells(Oid oid)
    {
        if (Column(oid) is not { } column)
        {
            yield break;
        }

        foreach (VarBind cell in column.Cells)
        {
            if (CellIndex.Of(column.Column, cell.Oid) is { } index)
            {
                yield return (index, cell.Value);
            }
        }
    }
}
