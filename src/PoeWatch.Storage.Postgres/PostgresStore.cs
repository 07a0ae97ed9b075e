using Microsoft.Extensions.Logging;
using Npgsql;
using PoeWatch.Monitoring.Abstractions;
using PoeWatch.Monitoring.Storage.Blocks;

namespace PoeWatch.Storage.Postgres;

/// <summary>
/// The production store: history, alarms, designs and posted conditions in one PostgreSQL database. Each write is one transaction with the server's own
/// durability (synchronous commit), so that a returned write survives a loss of power there. Thread safe.
/// </summary>
public sealed partial class PostgresStore : IHistoryStore, IAlarmStore, IDesignStore, IConditionStore, IMaintenanceStore, IAgentChangeStore, IAsyncDisposable
{
    private const int StatementsPrepared = 40;

    private readonly string _place;
    private readonly NpgsqlMultiHostDataSource? _servers;
    private readonly NpgsqlDataSource _source;
    private readonly ILogger<PostgresStore> _logger;
    private readonly ServiceLock _lock;
    private readonly HistoryReader _reader;
    private readonly HistoryPacker _packer;

    /// <exception cref="StoreException">The connection string cannot be read. Nothing is connected yet.</exception>
    public PostgresStore(PostgresStoreOptions options, ILogger<PostgresStore> logger)
    {
        _logger = logger;
        try
        {
            var parts = new NpgsqlConnectionStringBuilder(options.ConnectionString);
            _place = $"'{parts.Database}' on {parts.Host}:{parts.Port} (user '{parts.Username}')";
            var builder = new NpgsqlDataSourceBuilder(options.ConnectionString);

            // The few statements of the store are prepared once a connection: planning over a year's partitions would cost more than reading a page.
            builder.ConnectionStringBuilder.MaxAutoPrepare = StatementsPrepared;
            if (options.ReadAgain is { } current)
            {
                // Asked for with every new connection: a corrected password needs no restart.
                builder.ConnectionStringBuilder.Password = null;
                builder.UsePasswordProvider(_ => PasswordOf(current()), (_, _) => ValueTask.FromResult(PasswordOf(current())));
            }

            // Of several servers (Host=a,b) the one that takes writes: after a failover that is another one than before.
            // What each of them is, is asked again after a second: the driver's own ten would keep a promoted standby waiting.
            builder.ConnectionStringBuilder.HostRecheckSeconds = 1;
            _servers = parts.Host?.Contains(',', StringComparison.Ordinal) == true ? builder.BuildMultiHost() : null;
            _source = _servers?.WithTargetSession(TargetSessionAttributes.Primary) ?? builder.Build();
        }
        catch (Exception e) when (e is ArgumentException or FormatException)
        {
            // The message of the inner exception names a keyword, never a value.
            throw new StoreException($"The connection string of PostgreSQL cannot be read: {e.Message}. Write it as Host=…;Database=…;Username=…;Password=…", e);
        }

        _lock = new ServiceLock(_source, _place);
        var pages = new PostgresPages(this);
        _reader = new HistoryReader(pages);
        _packer = new HistoryPacker(pages, logger);
    }

    /// <inheritdoc/>
    public Task PrepareAsync(CancellationToken cancellationToken) => GuardAsync(async () =>
    {
        var schema = await CheckServerAsync(cancellationToken);
        await _lock.HoldAsync(cancellationToken);
        foreach (var script in await PostgresSchema.UpgradeAsync(_source, schema, cancellationToken))
        {
            LogSchemaScript(script, _place);
        }

        LogOpened(_place);
        return true;
    });

    /// <summary>Connections to the database.</summary>
    internal NpgsqlDataSource Source => _source;

    /// <summary>Closes all connections.</summary>
    public async ValueTask DisposeAsync()
    {
        await _lock.DisposeAsync();
        await _source.DisposeAsync();
        await (_servers?.DisposeAsync() ?? ValueTask.CompletedTask);
    }

    private static string PasswordOf(string connectionString) => new NpgsqlConnectionStringBuilder(connectionString).Password ?? string.Empty;

    // Readings are promised as kept once a write returned: say so where the server is set not to sync.
    private async Task<string> CheckServerAsync(CancellationToken cancellationToken)
    {
        await using var command = _source.CreateCommand(
            "SELECT current_setting('fsync'), current_setting('synchronous_commit'), current_setting('server_encoding'), current_schema()");
        await using var reader = await command.ExecuteReaderAsync(cancellationToken);
        await reader.ReadAsync(cancellationToken);
        if (reader.GetString(0) == "off" || reader.GetString(1) == "off")
        {
            LogNotDurable(_place, reader.GetString(0), reader.GetString(1));
        }

        if (reader.GetString(2) != "UTF8")
        {
            throw new StoreException($"The database {_place} has the encoding {reader.GetString(2)}. Create it anew: CREATE DATABASE name ENCODING 'UTF8' TEMPLATE template0.");
        }

        return reader.IsDBNull(3)
            ? throw new StoreException($"The database {_place} has no schema to create tables in. Create the schema of the user's search_path.")
            : reader.GetString(3);
    }

    internal async Task<T> GuardAsync<T>(Func<Task<T>> work)
    {
        try
        {
            return await work();
        }
        catch (Exception e) when (PostgresFaults.IsFault(e))
        {
            throw PostgresFaults.Translate(e, _place);
        }
    }

    internal Task<List<T>> RowsAsync<T>(
        string sql, Func<NpgsqlDataReader, T> read, CancellationToken cancellationToken, params object[] values) => GuardAsync(async () =>
    {
        await using var command = _source.CreateCommand(sql);
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
    });

    [LoggerMessage(2010, LogLevel.Information, "Database {Place} is open")]
    private partial void LogOpened(string place);

    [LoggerMessage(2011, LogLevel.Information, "Schema script {Script} was applied to {Place}")]
    private partial void LogSchemaScript(string script, string place);

    [LoggerMessage(2012, LogLevel.Debug, "{Already} of {Count} readings were stored already")]
    private partial void LogRepeated(int already, int count);

    [LoggerMessage(2013, LogLevel.Warning, "Database {Place} does not sync what it commits (fsync {Fsync}, synchronous_commit {SynchronousCommit}): readings shown as kept can be lost with the power. Set both to on")]
    private partial void LogNotDurable(string place, string fsync, string synchronousCommit);
}
