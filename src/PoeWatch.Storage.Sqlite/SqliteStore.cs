using Microsoft.Data.Sqlite;
using Microsoft.Extensions.Logging;
using PoeWatch.Monitoring.Abstractions;
using PoeWatch.Monitoring.Storage.Blocks;

namespace PoeWatch.Storage.Sqlite;

/// <summary>
/// The embedded store: history, alarms, designs and posted conditions in one SQLite file. One connection writes, in WAL mode with full synchronisation, so
/// that a returned write survives a loss of power; readers have connections of their own and never wait for the writer. Thread safe.
/// </summary>
/// <remarks>Microsoft.Data.Sqlite works synchronously behind its async methods, so the work is moved to the thread pool here.</remarks>
public sealed partial class SqliteStore : IHistoryStore, IAlarmStore, IDesignStore, IConditionStore, IMaintenanceStore, IAgentChangeStore, IAsyncDisposable
{
    private readonly string _path;
    private readonly ILogger<SqliteStore> _logger;
    private readonly HistoryReader _reader;
    private readonly HistoryPacker _packer;
    private readonly SemaphoreSlim _writing = new(1, 1);
    private FolderLock? _lock;
    private int _isClosed;
    private SqliteConnection? _writer;

    public SqliteStore(SqliteStoreOptions options, ILogger<SqliteStore> logger)
    {
        _path = Path.GetFullPath(options.Path);
        _logger = logger;
        var pages = new SqlitePages(this);
        _reader = new HistoryReader(pages);
        _packer = new HistoryPacker(pages, logger);
    }

    /// <inheritdoc/>
    public async Task PrepareAsync(CancellationToken cancellationToken)
    {
        await _writing.WaitAsync(cancellationToken);
        try
        {
            await Task.Run(Prepare, cancellationToken);
        }
        catch (SqliteException e)
        {
            CloseWriter();
            throw SqliteFaults.Translate(e, _path);
        }
        finally
        {
            _writing.Release();
        }
    }

    /// <summary>Closes the file and frees the data folder; a second call does nothing. Must not be called while other calls are under way.</summary>
    public async ValueTask DisposeAsync()
    {
        // A container that offers one store under several seams disposes it once for each.
        if (Interlocked.Exchange(ref _isClosed, 1) == 1)
        {
            return;
        }

        await _writing.WaitAsync();
        CloseWriter();
        using (var readers = NewConnection(SqliteOpenMode.ReadOnly))
        {
            SqliteConnection.ClearPool(readers);
        }

        _lock?.Dispose();
        _lock = null;
        _writing.Dispose();
    }

    /// <summary>Runs <paramref name="work"/> alone in one transaction; when it returns, what it wrote is synced to disk.</summary>
    internal async Task<T> WriteAsync<T>(Func<SqliteConnection, SqliteTransaction, T> work, CancellationToken cancellationToken)
    {
        await _writing.WaitAsync(cancellationToken);
        try
        {
            return await Task.Run(() => InTransaction(work), cancellationToken);
        }
        catch (SqliteException e)
        {
            if (!SqliteFaults.LeavesConnectionUsable(e))
            {
                CloseWriter();
            }

            throw SqliteFaults.Translate(e, _path);
        }
        finally
        {
            _writing.Release();
        }
    }

    private T InTransaction<T>(Func<SqliteConnection, SqliteTransaction, T> work)
    {
        if (_lock is null)
        {
            throw new InvalidOperationException("PrepareAsync has not been called, or the store is closed.");
        }

        _writer ??= OpenWriter();
        using var transaction = _writer.BeginTransaction(deferred: false);
        var result = work(_writer, transaction);
        transaction.Commit();
        return result;
    }

    internal async Task<T> ReadAsync<T>(Func<SqliteConnection, T> work, CancellationToken cancellationToken)
    {
        try
        {
            return await Task.Run(
                () =>
                {
                    using var connection = NewConnection(SqliteOpenMode.ReadOnly);
                    connection.Open();
                    return work(connection);
                },
                cancellationToken);
        }
        catch (SqliteException e)
        {
            throw SqliteFaults.Translate(e, _path);
        }
    }

    private void Prepare()
    {
        _lock ??= FolderLock.Take(_path);
        _writer ??= OpenWriter();
        foreach (var script in SqliteSchema.Upgrade(_writer))
        {
            LogSchemaScript(script, _path);
        }

        LogOpened(_path);
    }

    private SqliteConnection OpenWriter()
    {
        var connection = NewConnection(SqliteOpenMode.ReadWriteCreate);
        try
        {
            connection.Open();
            using var command = connection.CreateCommand();

            // Pages of 8 KiB, in a new file only: three blocks fill one, of 4 KiB one block would take each. FULL syncs the log with every commit: without
            // it the last commits can be lost with the power.
            command.CommandText = "PRAGMA page_size = 8192; PRAGMA journal_mode = WAL; PRAGMA synchronous = FULL;";
            command.ExecuteNonQuery();
            return connection;
        }
        catch
        {
            connection.Dispose();
            throw;
        }
    }

    // The default timeout is what Microsoft.Data.Sqlite keeps trying for while another program locks the file: the busy timeout, in seconds.
    private SqliteConnection NewConnection(SqliteOpenMode mode) => new(new SqliteConnectionStringBuilder
    {
        DataSource = _path,
        Mode = mode,
        Pooling = mode == SqliteOpenMode.ReadOnly,
        ForeignKeys = true,
        DefaultTimeout = 5,
    }.ConnectionString);

    private void CloseWriter()
    {
        _writer?.Dispose();
        _writer = null;
    }

    [LoggerMessage(2000, LogLevel.Information, "History file {Path} is open")]
    private partial void LogOpened(string path);

    [LoggerMessage(2001, LogLevel.Information, "Schema script {Script} was applied to {Path}")]
    private partial void LogSchemaScript(string script, string path);

    [LoggerMessage(2002, LogLevel.Debug, "{Already} of {Count} readings were stored already")]
    private partial void LogRepeated(int already, int count);
}
