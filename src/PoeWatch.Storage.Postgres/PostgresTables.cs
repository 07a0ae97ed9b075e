using System.Runtime.CompilerServices;
using Npgsql;
using NpgsqlTypes;
using PoeWatch.Monitoring.Abstractions;
using PoeWatch.Monitoring.Storage;

namespace PoeWatch.Storage.Postgres;

/// <summary>All tables of a database over one connection and its transaction. Not thread safe.</summary>
internal sealed class PostgresTables(NpgsqlConnection connection) : IStoreWriter
{
    // A table that refers to another one costs the server memory for each row of a statement until it ends.
    private const int RowsACopy = 100_000;

    // None refers to a table that refers to another one, so those without a foreign key come first.
    private const string Columns =
        """
        SELECT t.relname::text, a.attname::text, format_type(a.atttypid, NULL)
        FROM pg_class t JOIN pg_attribute a ON a.attrelid = t.oid AND a.attnum > 0 AND NOT a.attisdropped
        WHERE t.relnamespace = current_schema()::regnamespace AND t.relkind IN ('r', 'p') AND NOT t.relispartition AND t.relname <> $1
        ORDER BY EXISTS (SELECT 1 FROM pg_constraint c WHERE c.conrelid = t.oid AND c.contype = 'f'), t.relname
        """;

    private readonly HashSet<DateTime> _months = [];
    private Dictionary<(string Table, string Column), NpgsqlDbType>? _types;

    public async Task<IReadOnlyList<StoreTable>> ReadTablesAsync(CancellationToken cancellationToken)
    {
        var columns = await ReadColumnsAsync(cancellationToken);
        _types = columns.Where(c => TypeOf(c.Type) is not null).ToDictionary(c => (c.Table, c.Column), c => TypeOf(c.Type)!.Value);
        return
        [
            .. columns.GroupBy(c => c.Table).Select(g => new StoreTable(
                g.Key, [.. g.Select(c => new StoreColumn(c.Column, KindOf(c.Type))).OrderBy(c => c.Name, StringComparer.Ordinal)])),
        ];
    }

    public async Task<bool> IsEmptyAsync(StoreTable table, CancellationToken cancellationToken)
    {
        await using var command = new NpgsqlCommand($"SELECT EXISTS (SELECT 1 FROM {table.Name})", connection);
        return await command.ExecuteScalarAsync(cancellationToken) is false;
    }

    public async IAsyncEnumerable<object?[]> ReadRowsAsync(StoreTable table, [EnumeratorCancellation] CancellationToken cancellationToken)
    {
        await using var command = new NpgsqlCommand($"SELECT {ListOf(table)} FROM {table.Name}", connection) { CommandTimeout = 0 };
        await using var reader = await command.ExecuteReaderAsync(cancellationToken);
        while (await reader.ReadAsync(cancellationToken))
        {
            var row = new object?[table.Columns.Length];
            for (var i = 0; i < row.Length; i++)
            {
                row[i] = reader.IsDBNull(i) ? null : ValueOf(reader, i, table.Columns[i].Kind);
            }

            yield return row;
        }
    }

    public async Task WriteRowsAsync(StoreTable table, IAsyncEnumerable<object?[]> rows, CancellationToken cancellationToken)
    {
        var types = _types ?? throw new InvalidOperationException("The tables have to be read first.");
        var month = table.Name == PostgresPartitions.Table ? table.Columns.IndexOf(new StoreColumn("hour", StoreColumnKind.Time)) : -1;
        NpgsqlBinaryImporter? copy = null;
        try
        {
            var written = 0L;
            await foreach (var row in rows.WithCancellation(cancellationToken))
            {
                if (month >= 0 && PostgresPartitions.MonthOf(PostgresTime.Of((long)row[month]!)) is var needed && _months.Add(needed))
                {
                    copy = await EndAsync(copy, cancellationToken);
                    await using var create = new NpgsqlCommand(PostgresPartitions.Create(needed), connection);
                    await create.ExecuteNonQueryAsync(cancellationToken);
                }

                copy ??= await connection.BeginBinaryImportAsync($"COPY {table.Name} ({ListOf(table)}) FROM STDIN (FORMAT BINARY)", cancellationToken);
                await copy.StartRowAsync(cancellationToken);
                for (var i = 0; i < row.Length; i++)
                {
                    await WriteAsync(copy, row[i], types[(table.Name, table.Columns[i].Name)], cancellationToken);
                }

                copy = ++written % RowsACopy == 0 ? await EndAsync(copy, cancellationToken) : copy;
            }

            copy = await EndAsync(copy, cancellationToken);
        }
        finally
        {
            if (copy is not null)
            {
                await copy.DisposeAsync();
            }
        }
    }

    /// <summary>Lets each table give its next row the number after its highest.</summary>
    internal async Task ContinueNumbersAsync(CancellationToken cancellationToken)
    {
        const string Identities =
            """
            SELECT t.relname::text, a.attname::text FROM pg_class t JOIN pg_attribute a ON a.attrelid = t.oid
            WHERE t.relnamespace = current_schema()::regnamespace AND a.attidentity <> ''
            """;
        foreach (var (table, column) in await RowsAsync(Identities, r => (r.GetString(0), r.GetString(1)), cancellationToken))
        {
            await using var command = new NpgsqlCommand(
                $"SELECT setval(pg_get_serial_sequence('{table}', '{column}'), (SELECT coalesce(max({column}), 0) + 1 FROM {table}), false)", connection);
            await command.ExecuteNonQueryAsync(cancellationToken);
        }
    }

    private static async Task<NpgsqlBinaryImporter?> EndAsync(NpgsqlBinaryImporter? copy, CancellationToken cancellationToken)
    {
        if (copy is not null)
        {
            await copy.CompleteAsync(cancellationToken);
            await copy.DisposeAsync();
        }

        return null;
    }

    private static Task WriteAsync(NpgsqlBinaryImporter copy, object? value, NpgsqlDbType type, CancellationToken cancellationToken) => (value, type) switch
    {
        (null, _) => copy.WriteNullAsync(cancellationToken),
        (long number, NpgsqlDbType.Smallint) => copy.WriteAsync(checked((short)number), type, cancellationToken),
        (long number, NpgsqlDbType.Integer) => copy.WriteAsync(checked((int)number), type, cancellationToken),
        (long number, NpgsqlDbType.TimestampTz) => copy.WriteAsync(PostgresTime.Of(number), type, cancellationToken),
        (long number, _) => copy.WriteAsync(number, type, cancellationToken),
        (bool truth, _) => copy.WriteAsync(truth, type, cancellationToken),
        (string text, _) => copy.WriteAsync(text, type, cancellationToken),
        _ => copy.WriteAsync((byte[])value, type, cancellationToken),
    };

    private static object ValueOf(NpgsqlDataReader reader, int ordinal, StoreColumnKind kind) => kind switch
    {
        StoreColumnKind.Text => reader.GetString(ordinal),
        StoreColumnKind.Bytes => reader.GetFieldValue<byte[]>(ordinal),
        StoreColumnKind.Truth => reader.GetBoolean(ordinal),
        StoreColumnKind.Time => StoreTime.ToMicroseconds(reader.GetDateTime(ordinal)),
        _ => reader.GetFieldValue<long>(ordinal),
    };

    private static StoreColumnKind KindOf(string type) => type switch
    {
        "text" => StoreColumnKind.Text,
        "bytea" => StoreColumnKind.Bytes,
        "timestamp with time zone" => StoreColumnKind.Time,
        "boolean" => StoreColumnKind.Truth,
        "smallint" or "integer" or "bigint" => StoreColumnKind.Integer,
        _ => StoreColumnKind.Unknown,
    };

    private static NpgsqlDbType? TypeOf(string type) => type switch
    {
        "text" => NpgsqlDbType.Text,
        "bytea" => NpgsqlDbType.Bytea,
        "timestamp with time zone" => NpgsqlDbType.TimestampTz,
        "boolean" => NpgsqlDbType.Boolean,
        "smallint" => NpgsqlDbType.Smallint,
        "integer" => NpgsqlDbType.Integer,
        "bigint" => NpgsqlDbType.Bigint,
        _ => null,
    };

    private static string ListOf(StoreTable table) => string.Join(", ", table.Columns.Select(c => c.Name));

    private async Task<List<(string Table, string Column, string Type)>> ReadColumnsAsync(CancellationToken cancellationToken) =>
        await RowsAsync(Columns, r => (r.GetString(0), r.GetString(1), r.GetString(2)), cancellationToken, PostgresSchema.JournalTable);

    private async Task<List<T>> RowsAsync<T>(string sql, Func<NpgsqlDataReader, T> read, CancellationToken cancellationToken, params object[] values)
    {
        await using var command = new NpgsqlCommand(sql, connection);
        foreach (var value in values)
        {
            command.Parameters.Add(new NpgsqlParameter { Value = value });
        }

        await using var reader = await command.ExecuteReaderAsync(cancellationToken);
        var rows = new List<T>();
        while (await reader.ReadAsync(cancellationToken))
        {
            rows.Add(read(reader));
        }

        return rows;
    }
}
