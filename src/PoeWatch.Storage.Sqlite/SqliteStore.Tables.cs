using System.Runtime.CompilerServices;
using Microsoft.Data.Sqlite;
using PoeWatch.Monitoring.Abstractions;

namespace PoeWatch.Storage.Sqlite;

/// <content>All tables as they are, for moving them into another store.</content>
public sealed partial class SqliteStore : IStoreTables
{
    private const string TimeUnit = "_us";

    /// <inheritdoc/>
    public Task<IReadOnlyList<StoreTable>> ReadTablesAsync(CancellationToken cancellationToken) => ReadAsync<IReadOnlyList<StoreTable>>(
        connection =>
        {
            // None refers to a table that refers to another one, so those without a foreign key come first.
            using var command = connection.Command(
                $"""
                SELECT t.name, c.name, c.type FROM sqlite_schema t JOIN pragma_table_info(t.name) c
                WHERE t.type = 'table' AND t.name NOT LIKE 'sqlite%' AND t.name <> '{SqliteSchema.JournalTable}'
                ORDER BY EXISTS (SELECT 1 FROM pragma_foreign_key_list(t.name)), t.name
                """);
            return
            [
                .. command.Rows(r => (Table: r.GetString(0), Column: ColumnOf(r.GetString(1), r.GetString(2))), cancellationToken)
                    .GroupBy(c => c.Table)
                    .Select(g => new StoreTable(g.Key, [.. g.Select(c => c.Column).OrderBy(c => c.Name, StringComparer.Ordinal)])),
            ];
        },
        cancellationToken);

    /// <inheritdoc/>
    public async IAsyncEnumerable<object?[]> ReadRowsAsync(StoreTable table, [EnumeratorCancellation] CancellationToken cancellationToken)
    {
        await Task.Yield();
        using var connection = NewConnection(SqliteOpenMode.ReadOnly);
        using var command = connection.Command($"SELECT {string.Join(", ", table.Columns.Select(NameOf))} FROM {table.Name}");
        using var reader = Guard(() =>
        {
            connection.Open();
            return command.ExecuteReader();
        });
        while (Guard(reader.Read))
        {
            cancellationToken.ThrowIfCancellationRequested();
            var row = new object?[table.Columns.Length];
            for (var i = 0; i < row.Length; i++)
            {
                row[i] = reader.IsDBNull(i) ? null : ValueOf(reader, i, table.Columns[i].Kind);
            }

            yield return row;
        }
    }

    // A time is an integer whose name ends in its unit; a truth value is an integer named is_….
    private static StoreColumn ColumnOf(string name, string type) => type switch
    {
        "TEXT" => new(name, StoreColumnKind.Text),
        "BLOB" => new(name, StoreColumnKind.Bytes),
        "INTEGER" when name.EndsWith(TimeUnit, StringComparison.Ordinal) => new(name[..^TimeUnit.Length], StoreColumnKind.Time),
        "INTEGER" when name.StartsWith("is_", StringComparison.Ordinal) => new(name, StoreColumnKind.Truth),
        "INTEGER" => new(name, StoreColumnKind.Integer),
        _ => new(name, StoreColumnKind.Unknown),
    };

    private static string NameOf(StoreColumn column) => column.Kind == StoreColumnKind.Time ? column.Name + TimeUnit : column.Name;

    private static object ValueOf(SqliteDataReader reader, int ordinal, StoreColumnKind kind) => kind switch
    {
        StoreColumnKind.Text => reader.GetString(ordinal),
        StoreColumnKind.Bytes => reader.GetFieldValue<byte[]>(ordinal),
        StoreColumnKind.Truth => reader.GetInt64(ordinal) != 0,
        _ => reader.GetInt64(ordinal),
    };

    private T Guard<T>(Func<T> work)
    {
        try
        {
            return work();
        }
        catch (SqliteException e)
        {
            throw SqliteFaults.Translate(e, _path);
        }
    }
}
