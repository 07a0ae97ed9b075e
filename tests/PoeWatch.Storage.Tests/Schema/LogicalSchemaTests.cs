using Microsoft.Data.Sqlite;
using Npgsql;
using PoeWatch.Storage.Tests.Postgres;
using PoeWatch.Storage.Tests.Sqlite;

namespace PoeWatch.Storage.Tests.Schema;

/// <summary>Both databases, made by their scripts, have the same tables, columns, kinds, nullability, keys and indices.</summary>
public sealed class LogicalSchemaTests(PostgresServer server)
{
    private static CancellationToken Token => TestContext.Current.CancellationToken;

    [Fact]
    public async Task Both_stores_have_the_same_logical_schema()
    {
        await using var sqlite = new SqliteHarness();
        await using (await sqlite.OpenAsync())
        {
        }

        await using var postgres = (PostgresHarness)await PostgresHarness.NewAsync(server);
        await using (await postgres.OpenAsync())
        {
        }

        var left = await SqliteSchemaAsync(sqlite.DatabasePath);
        var right = await PostgresSchemaAsync(postgres.ConnectionString);

        Assert.Contains("poll.payload: bytes not null", left);
        Assert.Contains("poll key: pse_id, at", left);
        Assert.Equal(right, left);
    }

    private static async Task<SortedSet<string>> SqliteSchemaAsync(string path)
    {
        await using var connection = new SqliteConnection($"Data Source={path};Pooling=False");
        await connection.OpenAsync(Token);
        var schema = new SortedSet<string>(StringComparer.Ordinal);

        // A time is an integer whose name ends in its unit; a truth value is an integer named is_….
        const string Columns =
            """
            SELECT t.name, c.name, c.type, c."notnull" OR c.pk > 0
            FROM sqlite_schema t JOIN pragma_table_info(t.name) c
            WHERE t.type = 'table' AND t.name NOT LIKE 'sqlite%' AND t.name <> 'schema_scripts'
            """;
        await foreach (var row in RowsAsync(connection, Columns))
        {
            var name = (string)row[1];
            var kind = (string)row[2] switch
            {
                "TEXT" => "text",
                "BLOB" => "bytes",
                _ => name.EndsWith("_us", StringComparison.Ordinal) ? "time" : name.StartsWith("is_", StringComparison.Ordinal) ? "truth" : "integer",
            };
            schema.Add($"{row[0]}.{WithoutUnit(name)}: {kind}{((long)row[3] == 1 ? " not null" : "")}");
        }

        // Key of a single integer column has no index of its own in SQLite: it is the row's number.
        const string Indices =
            """
            SELECT t.name, i."unique", i.origin, (SELECT group_concat(name, ', ') FROM (SELECT name FROM pragma_index_info(i.name) ORDER BY seqno))
            FROM sqlite_schema t JOIN pragma_index_list(t.name) i WHERE t.type = 'table' AND t.name NOT LIKE 'sqlite%' AND t.name <> 'schema_scripts'
            UNION ALL
            SELECT t.name, 1, 'pk', c.name FROM sqlite_schema t JOIN pragma_table_info(t.name) c
            WHERE t.type = 'table' AND c.pk = 1 AND c.type = 'INTEGER' AND c.name = 'id' AND t.name NOT LIKE 'sqlite%'
            """;
        await foreach (var row in RowsAsync(connection, Indices))
        {
            var what = (string)row[2] == "pk" ? "key" : (long)row[1] == 1 ? "unique" : "index";
            schema.Add($"{row[0]} {what}: {string.Join(", ", ((string)row[3]).Split(", ").Select(WithoutUnit))}");
        }

        const string Foreign =
            """
            SELECT t.name, f."from", f."table", f."to" FROM sqlite_schema t JOIN pragma_foreign_key_list(t.name) f WHERE t.type = 'table'
            """;
        await foreach (var row in RowsAsync(connection, Foreign))
        {
            schema.Add($"{row[0]}.{row[1]} refers to {row[2]}.{row[3]}");
        }

        return schema;
    }

    private static async Task<SortedSet<string>> PostgresSchemaAsync(string connectionString)
    {
        await using var connection = new NpgsqlConnection(connectionString + ";Pooling=false");
        await connection.OpenAsync(Token);
        var schema = new SortedSet<string>(StringComparer.Ordinal);
        const string Columns =
            """
            SELECT table_name::text, column_name::text, data_type::text, is_nullable = 'NO' FROM information_schema.columns
            WHERE table_schema = 'public' AND table_name <> 'schema_scripts'
              AND table_name NOT IN (SELECT relname FROM pg_class WHERE relispartition)
            """;
        await foreach (var row in RowsAsync(connection, Columns))
        {
            var kind = (string)row[2] switch
            {
                "text" => "text",
                "bytea" => "bytes",
                "timestamp with time zone" => "time",
                "boolean" => "truth",
                "smallint" or "integer" or "bigint" => "integer",
                var other => other,
            };
            schema.Add($"{row[0]}.{row[1]}: {kind}{((bool)row[3] ? " not null" : "")}");
        }

        const string Indices =
            """
            SELECT t.relname::text, i.indisprimary, i.indisunique,
                   (SELECT string_agg(a.attname, ', ' ORDER BY k.n)
                    FROM unnest(i.indkey) WITH ORDINALITY k(att, n) JOIN pg_attribute a ON a.attrelid = t.oid AND a.attnum = k.att)
            FROM pg_index i JOIN pg_class t ON t.oid = i.indrelid
            WHERE t.relnamespace = 'public'::regnamespace AND t.relname <> 'schema_scripts' AND NOT t.relispartition
            """;
        await foreach (var row in RowsAsync(connection, Indices))
        {
            schema.Add($"{row[0]} {((bool)row[1] ? "key" : (bool)row[2] ? "unique" : "index")}: {row[3]}");
        }

        const string Foreign =
            """
            SELECT c.conrelid::regclass::text, a.attname::text, c.confrelid::regclass::text, b.attname::text FROM pg_constraint c
            JOIN pg_attribute a ON a.attrelid = c.conrelid AND a.attnum = c.conkey[1]
            JOIN pg_attribute b ON b.attrelid = c.confrelid AND b.attnum = c.confkey[1]
            WHERE c.contype = 'f' AND c.conparentid = 0
            """;
        await foreach (var row in RowsAsync(connection, Foreign))
        {
            schema.Add($"{row[0]}.{row[1]} refers to {row[2]}.{row[3]}");
        }

        return schema;
    }

    private static string WithoutUnit(string column) => column.EndsWith("_us", StringComparison.Ordinal) ? column[..^3] : column;

    private static async IAsyncEnumerable<object[]> RowsAsync(System.Data.Common.DbConnection connection, string sql)
    {
        await using var command = connection.CreateCommand();
        command.CommandText = sql;
        await using var reader = await command.ExecuteReaderAsync(Token);
        while (await reader.ReadAsync(Token))
        {
            var row = new object[reader.FieldCount];
            reader.GetValues(row);
            yield return row;
        }
    }
}
