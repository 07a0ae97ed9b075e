using Microsoft.Extensions.Logging.Abstractions;
using Npgsql;
using PoeWatch.Storage.Postgres;
using PoeWatch.Storage.Tests.Suites;

namespace PoeWatch.Storage.Tests.Postgres;

/// <summary>A database of its own on the tests' server.</summary>
public sealed class PostgresHarness : StoreHarness
{
    private readonly PostgresServer _server;
    private readonly NpgsqlDataSource _source;

    private PostgresHarness(PostgresServer server, string connectionString)
    {
        _server = server;
        ConnectionString = connectionString;
        _source = NpgsqlDataSource.Create(connectionString);
    }

    public string ConnectionString { get; }

    public static async Task<StoreHarness> NewAsync(PostgresServer server) => new PostgresHarness(server, await server.NewDatabaseAsync());

    public override OpenStore NewStore()
    {
        var store = new PostgresStore(new PostgresStoreOptions(ConnectionString), NullLogger<PostgresStore>.Instance);
        return new OpenStore(store, store, store, store, store, store);
    }

    public override Task ExecuteAsync(string sql) => WithAsync(sql, c => c.ExecuteNonQueryAsync());

    public override async Task<long> CountAsync(string table) => (long)(await WithAsync($"SELECT count(*) FROM {table}", c => c.ExecuteScalarAsync()))!;

    public override async Task<long> JournalBytesAsync() => (long)(await WithAsync("SELECT pg_total_relation_size('poll')", c => c.ExecuteScalarAsync()))!;

    // Without the 24 KiB of a month's free space map, which a few hours would bear and a month does not notice.
    public override async Task<long> BlockBytesAsync() => (long)(await WithAsync(
        """
        SELECT (pg_relation_size('interface_names') + (SELECT sum(pg_relation_size(relid) + pg_indexes_size(relid)) FROM pg_partition_tree('block') WHERE isleaf))::bigint
        """,
        c => c.ExecuteScalarAsync()))!;

    public override Task<IReadOnlyList<byte[]>> PayloadsAsync() => WithAsync<IReadOnlyList<byte[]>>("SELECT payload FROM poll ORDER BY at", async command =>
    {
        await using var reader = await command.ExecuteReaderAsync();
        var payloads = new List<byte[]>();
        while (await reader.ReadAsync())
        {
            payloads.Add(reader.GetFieldValue<byte[]>(0));
        }

        return payloads;
    });

    public override Task ReplacePayloadsAsync(byte[] payload) => WithAsync("UPDATE poll SET payload = $1", command =>
    {
        command.Parameters.Add(new NpgsqlParameter { Value = payload });
        return command.ExecuteNonQueryAsync();
    });

    public override Task ReplaceBlocksAsync(byte[] payload) => WithAsync("UPDATE block SET payload = $1", command =>
    {
        command.Parameters.Add(new NpgsqlParameter { Value = payload });
        return command.ExecuteNonQueryAsync();
    });

    public override Task BreakAsync(int insertsAt, int deletesAt) => ExecuteAsync(
        $"""
        CREATE FUNCTION break_poll() RETURNS trigger LANGUAGE plpgsql AS $$
        DECLARE rows bigint := (SELECT count(*) FROM poll);
        BEGIN
            IF TG_OP = 'INSERT' AND rows >= {insertsAt} OR TG_OP = 'DELETE' AND rows <= {deletesAt} + 1 THEN RAISE EXCEPTION 'injected'; END IF;
            RETURN CASE TG_OP WHEN 'INSERT' THEN NEW ELSE OLD END;
        END $$;
        CREATE TRIGGER break_poll BEFORE INSERT OR DELETE ON poll FOR EACH ROW EXECUTE FUNCTION break_poll();
        """);

    public override Task EmptyAsync() => ExecuteAsync("TRUNCATE poll, block, pse, interface_names");

    public override Task MendAsync() => ExecuteAsync("DROP FUNCTION break_poll() CASCADE");

    public override async ValueTask DisposeAsync()
    {
        await _source.DisposeAsync();
        await _server.DropDatabaseAsync(ConnectionString);
    }

    private async Task<T> WithAsync<T>(string sql, Func<NpgsqlCommand, Task<T>> work)
    {
        await using var command = _source.CreateCommand(sql);
        return await work(command);
    }
}
