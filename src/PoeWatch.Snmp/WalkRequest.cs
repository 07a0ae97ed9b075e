using PoeWatch.Snmp.Walking;

namespace PoeWatch.Snmp;

/// <summary>
/// What one walk reads: whole table columns, and beside them single instances. Immutable. Keep one and walk it again and again:
/// what a <see cref="WalkState"/> learns of an agent's tables it learns for this object.
/// </summary>
public sealed class WalkRequest
{
    /// <exception cref="ArgumentException">Nothing to read, too much of it, or an empty name.</exception>
    public WalkRequest(
        IReadOnlyList<Oid> columns, IReadOnlyList<Oid>? instances = null, int maxRequests = 500, int maxCells = 50_000)
    {
        ArgumentNullException.ThrowIfNull(columns);
        AllColumns = [.. columns];
        AllInstances = [.. instances ?? []];
        Columns = AllColumns.AsReadOnly();
        Instances = AllInstances.AsReadOnly();
        MaxRequests = maxRequests;
        MaxCells = maxCells;
        if (Columns.Count + Instances.Count is 0 or > SnmpClient.MaxOids)
        {
            throw new ArgumentException(
                $"A walk reads 1 to {SnmpClient.MaxOids} columns and instances, not {Columns.Count + Instances.Count}.", nameof(columns));
        }

        if (Columns.Concat(Instances).Any(oid => oid.IsEmpty))
        {
            throw new ArgumentException("A walk names an empty object identifier.", nameof(columns));
        }

        Names = Array.ConvertAll(AllColumns, column => new ColumnName(column));
        BeforeInstances = [.. Instances.Select(JustBefore)];
        ArgumentOutOfRangeException.ThrowIfLessThan(maxRequests, 1);
        ArgumentOutOfRangeException.ThrowIfLessThan(maxCells, 1);
    }

    /// <summary>Columns such as <c>1.3.6.1.2.1.105.1.1.1.6</c>; every instance under each is read.</summary>
    public IReadOnlyList<Oid> Columns { get; }

    /// <summary>Single instances such as <c>1.3.6.1.2.1.1.3.0</c>, read by the first request along with the columns.</summary>
    public IReadOnlyList<Oid> Instances { get; }

    /// <summary>The walk ends after so many requests, whatever the agent says.</summary>
    public int MaxRequests { get; }

    /// <summary>The walk ends after so many cells over all columns.</summary>
    public int MaxCells { get; }

    internal Oid[] AllColumns { get; }

    internal Oid[] AllInstances { get; }

    internal ColumnName[] Names { get; }

    /// <summary>For each instance an OID whose successor it is, if the agent has it: a GetBulk only knows successors.</summary>
    internal Oid[] BeforeInstances { get; }

    private static Oid JustBefore(Oid instance)
    {
        Span<uint> numbers = stackalloc uint[Oid.MaxSubIdentifiers];
        int count = instance.CopyTo(numbers);
        if (numbers[count - 1] > 0)
        {
            numbers[count - 1]--;
            return Oid.From(numbers[..count]);
        }

        return count > 2 ? Oid.From(numbers[..(count - 1)]) : instance;
    }
}
