using PoeWatch.Monitoring.Abstractions;
using PoeWatch.TestKit.Postgres;

namespace PoeWatch.Storage.Tests.Postgres;

/// <summary>A server that stops and starts under the store; it is this class's own, so that no other test is cut off.</summary>
public sealed class PostgresRestartTests : IAsyncLifetime
{
    private PrivatePostgres _server = null!;

    private static CancellationToken Token => TestContext.Current.CancellationToken;

    public async ValueTask InitializeAsync() => _server = await PrivatePostgres.StartNewAsync(
        PostgresBinaries.FindFolder() ?? throw new InvalidOperationException(
            "This test stops and starts a PostgreSQL server and needs its programs on this machine (Debian and Ubuntu: apt-get install postgresql)."),
        CancellationToken.None);

    public ValueTask DisposeAsync() => _server.DisposeAsync();

    [Fact]
    public async Task A_server_that_is_down_at_the_start_is_waited_for()
    {
        await using var store = PostgresBadDayTests.NewStore(_server.ConnectionString);
        await _server.StopAsync(PostgresStop.Fast, Token);

        var error = await Assert.ThrowsAsync<StoreException>(() => store.PrepareAsync(Token));

        Assert.True(error.IsTransient);
        Assert.Contains($"127.0.0.1:{_server.Port}", error.Message, StringComparison.Ordinal);
        Assert.Contains("does not answer", error.Message, StringComparison.Ordinal);
        await _server.StartAsync(Token);
        await store.PrepareAsync(Token);
    }

    [Theory]
    [InlineData(PostgresStop.Fast)]
    [InlineData(PostgresStop.Immediate)]
    public async Task A_restart_in_mid_write_loses_no_returned_batch_and_the_store_carries_on(PostgresStop stop)
    {
        await using var store = PostgresBadDayTests.NewStore(_server.ConnectionString);
        await store.PrepareAsync(Token);
        var started = new TaskCompletionSource(TaskCreationOptions.RunContinuationsAsynchronously);
        var writing = Task.Run(() => PostgresBadDayTests.WriteUntilFailureAsync(store, started), Token);
        await started.Task;

        await _server.StopAsync(stop, Token);
        var (returned, error) = await writing;
        Assert.True(error.IsTransient, error.Message);
        Assert.True((await PostgresBadDayTests.TryAppendAsync(store, returned))?.IsTransient);
        await _server.StartAsync(Token);

        // The batch in flight may have been committed before its answer was cut off: repeating it must change nothing.
        var failures = 0;
        while (await PostgresBadDayTests.TryAppendAsync(store, returned) is { } again)
        {
            Assert.True(again.IsTransient, again.Message);
            Assert.InRange(++failures, 1, 5);
        }

        ReadingAssert.Equal(
            Enumerable.Range(0, returned + 1).Select(n => SampleReadings.Numbered("quay-west", n)), await PostgresBadDayTests.ReadAllAsync(store));
    }
}
