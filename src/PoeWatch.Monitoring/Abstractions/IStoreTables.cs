using System.Collections.Immutable;

namespace PoeWatch.Monitoring.Abstractions;

/// <summary>What a column holds, in every store alike. In brackets: as which value a row carries it.</summary>
public enum StoreColumnKind
{
    Unknown = 0,

    /// <summary>A whole number (long).</summary>
    Integer = 1,

    /// <summary>Text (string).</summary>
    Text = 2,

    /// <summary>Bytes (byte[]).</summary>
    Bytes = 3,

    /// <summary>A time (long: microseconds since 1970-01-01 UTC).</summary>
    Time = 4,

    /// <summary>True or false (bool).</summary>
    Truth = 5,
}

/// <summary>A column by the name that both stores know it by, without a unit behind it.</summary>
public readonly record struct StoreColumn(string Name, StoreColumnKind Kind);

/// <summary>A table with its columns, sorted by their names. Immutable.</summary>
public sealed record StoreTable(string Name, ImmutableArray<StoreColumn> Columns);

/// <summary>The tables of a store as they are, for whoever moves or compares all of it.</summary>
public interface IStoreTables
{
    /// <summary>All tables but the list of schema scripts; a table comes after those that it refers to.</summary>
    Task<IReadOnlyList<StoreTable>> ReadTablesAsync(CancellationToken cancellationToken);

    /// <summary>All rows of a table in any order, streamed; values in the order of its columns, null where there is none.</summary>
    IAsyncEnumerable<object?[]> ReadRowsAsync(StoreTable table, CancellationToken cancellationToken);
}

/// <summary>An empty store that takes the tables of another one.</summary>
public interface IStoreFilling
{
    /// <summary>Runs <paramref name="work"/> in one transaction: when it returns all of it is kept, when it throws nothing is.</summary>
    Task FillAsync(Func<IStoreWriter, Task> work, CancellationToken cancellationToken);
}

/// <summary>The store within the transaction that fills it; reads what it has written. Not thread safe.</summary>
public interface IStoreWriter : IStoreTables
{
    Task<bool> IsEmptyAsync(StoreTable table, CancellationToken cancellationToken);

    /// <summary>Writes rows, streamed; the numbers that rows are known by stay as they are.</summary>
    Task WriteRowsAsync(StoreTable table, IAsyncEnumerable<object?[]> rows, CancellationToken cancellationToken);
}
