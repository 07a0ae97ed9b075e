using Npgsql;
using PoeWatch.Monitoring.Abstractions;

namespace PoeWatch.Storage.Postgres;

/// <summary>
/// Holds a session's advisory lock, so that two services never write one database. The server frees it when the session ends, however it ends. Thread safe.
/// </summary>
internal sealed class ServiceLock(NpgsqlDataSource source, string place) : IAsyncDisposable
{
    // "Poe!" in ASCII; the second half is the schema, for two schemas of one database are two stores.
    private const int LockKey = 0x506F6521;

    private readonly SemaphoreSlim _gate = new(1, 1);
    private NpgsqlConnection? _connection;

    /// <summary>Takes the lock, or asks the session that holds it whether it still lives: a lost one is taken again.</summary>
    /// <exception cref="StoreException">Another service holds it.</exception>
    internal async Task HoldAsync(CancellationToken cancellationToken)
    {
        await _gate.WaitAsync(cancellationToken);
        try
        {
            if (_connection is not null && await IsAliveAsync(_connection, cancellationToken))
            {
                return;
            }

            await DropAsync();
            _connection = await TakeAsync(cancellationToken);
        }
        finally
        {
            _gate.Release();
        }
    }

    public async ValueTask DisposeAsync()
    {
        await DropAsync();
        _gate.Dispose();
    }

    private static async Task<bool> IsAliveAsync(NpgsqlConnection connection, CancellationToken cancellationToken)
    {
        try
        {
            await using var ask = new NpgsqlCommand("SELECT 1", connection);
            await ask.ExecuteScalarAsync(cancellationToken);
            return true;
        }
        catch (Exception e) when (PostgresFaults.IsFault(e) || e is InvalidOperationException)
        {
            return false;
        }
    }

    private async Task<NpgsqlConnection> TakeAsync(CancellationToken cancellationToken)
    {
        var connection = await source.OpenConnectionAsync(cancellationToken);
        try
        {
            // Where the network was cut the server has to notice within half a minute that the old session is dead: else it would keep us out ourselves.
            await using var take = new NpgsqlCommand(
                $"""
                SET tcp_keepalives_idle = 10; SET tcp_keepalives_interval = 5; SET tcp_keepalives_count = 3;
                SELECT pg_try_advisory_lock({LockKey}, hashtext(current_schema()))
                """,
                connection);
            if (await take.ExecuteScalarAsync(cancellationToken) is true)
            {
                return connection;
            }

            throw new StoreException(
                $"Another PoeWatch service uses the database {place}. Stop it, or give this one a database of its own. Where it has just died, the server frees the database by itself.",
                isTransient: true,
                new InvalidOperationException("The advisory lock is taken."));
        }
        catch
        {
            await connection.DisposeAsync();
            throw;
        }
    }

    private async Task DropAsync()
    {
        if (_connection is { } connection)
        {
            _connection = null;

            // The session goes back to a pool and ends later: the next service need not wait for that.
            try
            {
                await using var free = new NpgsqlCommand("SELECT pg_advisory_unlock_all()", connection);
                await free.ExecuteNonQueryAsync(CancellationToken.None);
            }
            catch (Exception e) when (PostgresFaults.IsFault(e) || e is InvalidOperationException)
            {
                // A session that is gone holds nothing.
            }

            await connection.DisposeAsync();
        }
    }
}
