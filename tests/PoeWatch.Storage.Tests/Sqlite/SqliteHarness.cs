using Microsoft.Data.Sqlite;
using Microsoft.Extensions.Logging.Abstractions;
using PoeWatch.Storage.Sqlite;
using PoeWatch.Storage.Tests.Suites;

namespace PoeWatch.Storage.Tests.Sqlite;

/// <summary>A SQLite file in a folder of its own.</summary>
public sealed class SqliteHarness : StoreHarness
{
    private readonly DirectoryInfo _folder = Directory.CreateTempSubdirectory("poewatch-sqlite-");

    public string Folder => _folder.FullName;

    public string DatabasePath => Path.Combine(Folder, "data", "history.db");

    public override OpenStore NewStore()
    {
        var store = NewSqliteStore(DatabasePath);
        return new OpenStore(store, store, store, store, store, store);
    }

    public static SqliteStore NewSqliteStore(string path) => new(new SqliteStoreOptions(path), NullLogger<SqliteStore>.Instance);

    public override Task ExecuteAsync(string sql) => Task.FromResult(With(sql, c => c.ExecuteNonQuery()));

    public override Task<long> CountAsync(string table) => Task.FromResult(With($"SELECT count(*) FROM {table}", c => (long)c.ExecuteScalar()!));

    // The whole file with the log written back into it, less the pages that are free to be used again: what it holds besides is a few pages.
    public override Task<long> JournalBytesAsync() => FileBytesAsync();

    public override Task<long> BlockBytesAsync() => FileBytesAsync();

    private Task<long> FileBytesAsync()
    {
        With("PRAGMA wal_checkpoint(PASSIVE)", c => c.ExecuteNonQuery());
        return Task.FromResult(With(
            "SELECT (page_count - freelist_count) * page_size FROM pragma_page_count, pragma_freelist_count, pragma_page_size", c => (long)c.ExecuteScalar()!));
    }

    public override Task<IReadOnlyList<byte[]>> PayloadsAsync() => Task.FromResult(With("SELECT payload FROM poll ORDER BY at_us", command =>
    {
        using var reader = command.ExecuteReader();
        var payloads = new List<byte[]>();
        while (reader.Read())
        {
            payloads.Add(reader.GetFieldValue<byte[]>(0));
        }

        return (IReadOnlyList<byte[]>)payloads;
    }));

    public override Task ReplacePayloadsAsync(byte[] payload) => Task.FromResult(With("UPDATE poll SET payload = $1", command =>
    {
        command.Parameters.AddWithValue("$1", payload);
        return command.ExecuteNonQuery();
    }));

    public override Task ReplaceBlocksAsync(byte[] payload) => Task.FromResult(With("UPDATE block SET payload = $1", command =>
    {
        command.Parameters.AddWithValue("$1", payload);
        return command.ExecuteNonQuery();
    }));

    public override Task BreakAsync(int insertsAt, int deletesAt) => ExecuteAsync(
        $"""
        CREATE TRIGGER break_insert BEFORE INSERT ON poll WHEN (SELECT count(*) FROM poll) >= {insertsAt} BEGIN SELECT RAISE(ABORT, 'injected'); END;
        CREATE TRIGGER break_delete BEFORE DELETE ON poll WHEN (SELECT count(*) FROM poll) <= {deletesAt} + 1 BEGIN SELECT RAISE(ABORT, 'injected'); END;
        """);

    public override Task EmptyAsync() => ExecuteAsync("BEGIN; DELETE FROM poll; DELETE FROM block; DELETE FROM pse; DELETE FROM interface_names; COMMIT");

    public override Task MendAsync() => ExecuteAsync("DROP TRIGGER break_insert; DROP TRIGGER break_delete");

    public override ValueTask DisposeAsync()
    {
        _folder.Delete(recursive: true);
        return ValueTask.CompletedTask;
    }

    private T With<T>(string sql, Func<SqliteCommand, T> work)
    {
        Directory.CreateDirectory(Path.GetDirectoryName(DatabasePath)!);
        using var connection = new SqliteConnection($"Data Source={DatabasePath};Pooling=False");
        connection.Open();
        using var command = connection.CreateCommand();
        command.CommandText = sql;
        return work(command);
    }
}
