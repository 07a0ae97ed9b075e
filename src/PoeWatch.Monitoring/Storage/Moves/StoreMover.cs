using System.Runtime.CompilerServices;
using PoeWatch.Monitoring.Abstractions;

namespace PoeWatch.Monitoring.Storage.Moves;

/// <summary>A table that was moved.</summary>
public readonly record struct MovedTable(string Name, long Rows);

/// <summary>
/// Moves everything that one store holds into another, empty one: all or nothing, a row at a time. Before it is kept, every table is read back and compared
/// with what was read from the first store. Neither store may be written meanwhile. Stateless.
/// </summary>
public static class StoreMover
{
    /// <param name="moved">Told of each table once it is written and compared.</param>
    /// <exception cref="StoreException">The target holds data, has other tables, or does not give back what it was given. Nothing was kept there.</exception>
    public static async Task MoveAsync(IStoreTables from, IStoreFilling to, Action<MovedTable> moved, CancellationToken cancellationToken)
    {
        var tables = await from.ReadTablesAsync(cancellationToken).ConfigureAwait(false);
        await to.FillAsync(
            async target =>
            {
                Compare(tables, await target.ReadTablesAsync(cancellationToken).ConfigureAwait(false));
                await RefuseDataAsync(target, tables, cancellationToken).ConfigureAwait(false);
                foreach (var table in tables)
                {
                    moved(new MovedTable(table.Name, await MoveAsync(table, from, target, cancellationToken).ConfigureAwait(false)));
                }
            },
            cancellationToken).ConfigureAwait(false);
    }

    private static async Task<long> MoveAsync(StoreTable table, IStoreTables from, IStoreWriter to, CancellationToken cancellationToken)
    {
        var given = new TableDigest();
        await to.WriteRowsAsync(table, CountedAsync(from.ReadRowsAsync(table, cancellationToken), given, cancellationToken), cancellationToken).ConfigureAwait(false);
        var found = new TableDigest();
        await foreach (var row in to.ReadRowsAsync(table, cancellationToken).ConfigureAwait(false))
        {
            found.Add(row);
        }

        return given.IsSameAs(found)
            ? given.Rows
            : throw new StoreException(
                $"Table '{table.Name}' came out of the target other than it went in ({given} given, {found} found); nothing was kept there. Is something else writing to one of the two stores? Stop it and move again.");
    }

    private static void Compare(IReadOnlyList<StoreTable> from, IReadOnlyList<StoreTable> to)
    {
        static string[] Columns(IEnumerable<StoreTable> tables) =>
            [.. tables.SelectMany(t => t.Columns.Select(c => $"{t.Name}.{c.Name} ({c.Kind})")).Order(StringComparer.Ordinal)];

        var (left, right) = (Columns(from), Columns(to));
        if (left.Except(right).Concat(right.Except(left)).FirstOrDefault() is { } other)
        {
            throw new StoreException($"The two stores do not have the same tables: {other} is in one of them only. Use a new, empty database, and change no table by hand.");
        }
    }

    private static async Task RefuseDataAsync(IStoreWriter target, IReadOnlyList<StoreTable> tables, CancellationToken cancellationToken)
    {
        foreach (var table in tables)
        {
            if (!await target.IsEmptyAsync(table, cancellationToken).ConfigureAwait(false))
            {
                throw new StoreException(
                    $"The target holds data already (table '{table.Name}'): two histories cannot be made one. Create a new, empty database for the move, or drop this one if nothing in it is needed.");
            }
        }
    }

    private static async IAsyncEnumerable<object?[]> CountedAsync(
        IAsyncEnumerable<object?[]> rows, TableDigest digest, [EnumeratorCancellation] CancellationToken cancellationToken)
    {
        await foreach (var row in rows.WithCancellation(cancellationToken).ConfigureAwait(false))
        {
            digest.Add(row);
            yield return row;
        }
    }
}
