using Npgsql;
using PoeWatch.TestKit.Postgres;

namespace PoeWatch.Storage.Tests.Postgres;

/// <summary>A server that dies while its standby takes over; both are this class's own. The standby is waited for with each commit, as a failover without loss needs.</summary>
public sealed class PostgresFailoverTests : IAsyncLifetime
{
    private PrivatePostgres _first = null!;
    private PrivatePostgres _second = null!;

    private static CancellationToken Token => TestContext.Current.CancellationToken;

    public async ValueTask InitializeAsync()
    {
        _first = await PrivatePostgres.StartNewAsync(
            PostgresBinaries.FindFolder() ?? throw new InvalidOperationException(
                "This test needs two PostgreSQL servers and their programs on this machine (Debian and Ubuntu: apt-get install postgresql)."),
            CancellationToken.None);
        _second = await _first.StartStandbyAsync(CancellationToken.None);
        await ExecuteAsync("ALTER SYSTEM SET synchronous_standby_names = '*'");
        await ExecuteAsync("SELECT pg_reload_conf()");
    }

    public async ValueTask DisposeAsync()
    {
        await (_second?.DisposeAsync() ?? ValueTask.CompletedTask);
        await (_first?.DisposeAsync() ?? ValueTask.CompletedTask);
    }

    [Theory]
    [InlineData(true)]
    [InlineData(false)]
    public async Task After_a_failover_in_mid_write_no_returned_batch_is_missing_and_the_store_carries_on(bool isStandbyNamedFirst)
    {
        var parts = new NpgsqlConnectionStringBuilder(_first.ConnectionString);
        string[] servers = [$"127.0.0.1:{_first.Port}", $"127.0.0.1:{_second.Port}"];
        parts.Host = string.Join(',', isStandbyNamedFirst ? servers.Reverse() : servers);
        await using var store = PostgresBadDayTests.NewStore(parts.ConnectionString);
        await store.PrepareAsync(Token);
        var started = new TaskCompletionSource(TaskCreationOptions.RunContinuationsAsynchronously);
        var writing = Task.Run(() => PostgresBadDayTests.WriteUntilFailureAsync(store, started), Token);
        await started.Task;

        await _first.StopAsync(PostgresStop.Immediate, Token);
        var (returned, error) = await writing;
        Assert.True(error.IsTransient, error.Message);

        // The standby alone takes no writes: it is said so, and nothing is lost by trying.
        Assert.True((await PostgresBadDayTests.TryAppendAsync(store, returned))?.IsTransient);
        await _second.PromoteAsync(Token);
        var failures = 0;
        while (await PostgresBadDayTests.TryAppendAsync(store, returned) is { } again)
        {
            Assert.True(again.IsTransient, again.Message);
            Assert.InRange(++failures, 1, 100_000);
        }

        ReadingAssert.Equal(
            Enumerable.Range(0, returned + 1).Select(n => SampleReadings.Numbered("quay-west", n)), await PostgresBadDayTests.ReadAllAsync(store));
    }

    private async Task ExecuteAsync(string sql)
    {
        await using var connection = new NpgsqlConnection(_first.ConnectionString + ";Pooling=false");
        await connection.OpenAsync(Token);
        await using var command = new NpgsqlCommand(sql, connection);
        await command.ExecuteNonQueryAsync(Token);
    }
}
