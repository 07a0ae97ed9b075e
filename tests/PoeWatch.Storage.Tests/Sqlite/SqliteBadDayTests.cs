using Microsoft.Data.Sqlite;
using PoeWatch.Monitoring.Abstractions;
using PoeWatch.Storage.Sqlite;

namespace PoeWatch.Storage.Tests.Sqlite;

/// <summary>What can happen to a file and its folder.</summary>
public sealed class SqliteBadDayTests : IAsyncLifetime
{
    private readonly SqliteHarness _harness = new();

    private static CancellationToken Token => TestContext.Current.CancellationToken;

    public ValueTask InitializeAsync() => ValueTask.CompletedTask;

    public ValueTask DisposeAsync() => _harness.DisposeAsync();

    [Fact]
    public async Task A_second_service_on_the_same_folder_is_refused_until_the_first_ends()
    {
        await using (var first = SqliteHarness.NewSqliteStore(_harness.DatabasePath))
        {
            await first.PrepareAsync(Token);
            await using var second = SqliteHarness.NewSqliteStore(_harness.DatabasePath);

            var error = await Assert.ThrowsAsync<StoreException>(() => second.PrepareAsync(Token));

            Assert.Contains("Another PoeWatch service", error.Message, StringComparison.Ordinal);
            Assert.Contains(_harness.DatabasePath, error.Message, StringComparison.Ordinal);
            Assert.False(error.IsTransient);
        }

        await using var third = SqliteHarness.NewSqliteStore(_harness.DatabasePath);
        await third.PrepareAsync(Token);
    }

    [Fact]
    public async Task A_full_disk_is_said_so_loses_nothing_kept_and_passes_when_there_is_room()
    {
        await using var store = SqliteHarness.NewSqliteStore(_harness.DatabasePath);
        await store.PrepareAsync(Token);
        var kept = Enumerable.Range(0, 40).Select(n => SampleReadings.Numbered("quay-west", n)).ToList();
        await store.AppendAsync(kept, Token);
        await LimitPagesAsync(store, (long)(await store.WriteAsync((c, _) => Scalar(c, "PRAGMA page_count"), Token))!);
        var more = Enumerable.Range(40, 3000).Select(n => SampleReadings.Numbered("quay-west", n)).ToList();

        for (var attempt = 0; attempt < 2; attempt++)
        {
            var error = await Assert.ThrowsAsync<StoreException>(() => store.AppendAsync(more, Token));
            Assert.True(error.IsTransient);
            Assert.Contains("full disk", error.Message, StringComparison.Ordinal);
            ReadingAssert.Equal(kept, await ReadAllAsync(store));
        }

        await LimitPagesAsync(store, 1_000_000);
        await store.AppendAsync(more, Token);
        ReadingAssert.Equal(kept.Concat(more), await ReadAllAsync(store));
    }

    // Places where not even an administrator makes a folder; on Linux root included.
    [Fact]
    public async Task A_folder_that_cannot_be_written_is_named_with_the_remedy()
    {
        var folder = OperatingSystem.IsLinux() ? "/proc/poewatch" : OperatingSystem.IsMacOS() ? "/System/poewatch" : @"C:\Windows\System32\config\poewatch";
        await using var store = SqliteHarness.NewSqliteStore(Path.Combine(folder, "history.db"));

        var error = await Assert.ThrowsAsync<StoreException>(() => store.PrepareAsync(Token));

        Assert.Contains(folder, error.Message, StringComparison.Ordinal);
        Assert.Contains("right to write", error.Message, StringComparison.Ordinal);
        Assert.False(error.IsTransient);
    }

    [Fact]
    public async Task A_file_in_the_place_of_the_folder_is_named()
    {
        var file = Path.Combine(_harness.Folder, "taken");
        await File.WriteAllTextAsync(file, "", Token);
        await using var store = SqliteHarness.NewSqliteStore(Path.Combine(file, "history.db"));

        var error = await Assert.ThrowsAsync<StoreException>(() => store.PrepareAsync(Token));

        Assert.Contains(file, error.Message, StringComparison.Ordinal);
        Assert.False(error.IsTransient);
    }

    [Fact]
    public async Task A_file_that_is_no_database_is_refused_and_left_as_it_is()
    {
        Directory.CreateDirectory(Path.GetDirectoryName(_harness.DatabasePath)!);
        var text = string.Join('\n', Enumerable.Repeat("minutes of the harbour board", 500));
        await File.WriteAllTextAsync(_harness.DatabasePath, text, Token);
        await using var store = SqliteHarness.NewSqliteStore(_harness.DatabasePath);

        var error = await Assert.ThrowsAsync<StoreException>(() => store.PrepareAsync(Token));

        Assert.Contains("no SQLite database", error.Message, StringComparison.Ordinal);
        Assert.Contains("backup", error.Message, StringComparison.Ordinal);
        Assert.False(error.IsTransient);
        Assert.Equal(text, await File.ReadAllTextAsync(_harness.DatabasePath, Token));
    }

    [Fact]
    public async Task A_damaged_page_is_said_so_and_gives_no_number()
    {
        await using (var store = SqliteHarness.NewSqliteStore(_harness.DatabasePath))
        {
            await store.PrepareAsync(Token);
            await store.AppendAsync([.. Enumerable.Range(0, 4000).Select(n => SampleReadings.Numbered("quay-west", n))], Token);
        }

        var bytes = await File.ReadAllBytesAsync(_harness.DatabasePath, Token);

        // The first pages are those of tables that are empty.
        new Random(11).NextBytes(bytes.AsSpan(bytes.Length * 3 / 4, 20_000));
        await File.WriteAllBytesAsync(_harness.DatabasePath, bytes, Token);
        await using var again = SqliteHarness.NewSqliteStore(_harness.DatabasePath);
        await again.PrepareAsync(Token);

        var error = await Assert.ThrowsAsync<StoreException>(() => ReadAllAsync(again));

        Assert.False(error.IsTransient);
    }

    [Fact]
    public async Task Another_programs_lock_is_waited_for_and_then_said_so()
    {
        await using var store = SqliteHarness.NewSqliteStore(_harness.DatabasePath);
        await store.PrepareAsync(Token);
        await using var other = new SqliteConnection($"Data Source={_harness.DatabasePath};Pooling=False");
        await other.OpenAsync(Token);
        var held = other.BeginTransaction(deferred: false);

        var error = await Assert.ThrowsAsync<StoreException>(() => store.AppendAsync([SampleReadings.Numbered("quay-west", 1)], Token));
        Assert.True(error.IsTransient);
        Assert.Contains("another program", error.Message, StringComparison.Ordinal);

        await held.DisposeAsync();
        await store.AppendAsync([SampleReadings.Numbered("quay-west", 1)], Token);
    }

    // What a loss of power leaves: the file and its log as they are on disk, without the shared memory.
    [Fact]
    public async Task A_copy_of_the_files_taken_in_mid_life_holds_every_returned_batch()
    {
        await using var store = SqliteHarness.NewSqliteStore(_harness.DatabasePath);
        await store.PrepareAsync(Token);
        for (var batch = 0; batch < 30; batch++)
        {
            await store.AppendAsync([.. Enumerable.Range(batch * 50, 50).Select(n => SampleReadings.Numbered("quay-west", n))], Token);
            if (batch % 7 != 0)
            {
                continue;
            }

            var copy = Path.Combine(_harness.Folder, $"copy-{batch}", "history.db");
            Directory.CreateDirectory(Path.GetDirectoryName(copy)!);
            File.Copy(_harness.DatabasePath, copy);
            File.Copy(_harness.DatabasePath + "-wal", copy + "-wal");
            await using var restarted = SqliteHarness.NewSqliteStore(copy);
            await restarted.PrepareAsync(Token);
            ReadingAssert.Equal(Enumerable.Range(0, (batch + 1) * 50).Select(n => SampleReadings.Numbered("quay-west", n)), await ReadAllAsync(restarted));
        }
    }

    // A torn last write: SQLite drops the unfinished transaction and keeps all before it.
    [Fact]
    public async Task A_log_cut_off_in_mid_write_loses_only_the_batch_that_had_not_returned()
    {
        await using var store = SqliteHarness.NewSqliteStore(_harness.DatabasePath);
        await store.PrepareAsync(Token);
        await store.AppendAsync([SampleReadings.Numbered("quay-west", 0)], Token);
        var returned = new FileInfo(_harness.DatabasePath + "-wal").Length;
        await store.AppendAsync([.. Enumerable.Range(1, 200).Select(n => SampleReadings.Numbered("quay-west", n))], Token);
        var log = await File.ReadAllBytesAsync(_harness.DatabasePath + "-wal", Token);
        Assert.True(log.Length > returned + 4096);

        foreach (var length in new[] { returned, returned + 1, returned + 2000, log.Length - 1 })
        {
            var copy = Path.Combine(_harness.Folder, $"torn-{length}", "history.db");
            Directory.CreateDirectory(Path.GetDirectoryName(copy)!);
            File.Copy(_harness.DatabasePath, copy);
            await File.WriteAllBytesAsync(copy + "-wal", log[..(int)length], Token);
            await using var restarted = SqliteHarness.NewSqliteStore(copy);
            await restarted.PrepareAsync(Token);
            ReadingAssert.Equal([SampleReadings.Numbered("quay-west", 0)], await ReadAllAsync(restarted));
        }
    }

    [Fact]
    public async Task Every_commit_is_synced()
    {
        await using var store = SqliteHarness.NewSqliteStore(_harness.DatabasePath);
        await store.PrepareAsync(Token);

        // 2 is FULL (sqlite.org/pragma.html#pragma_synchronous).
        Assert.Equal("wal", await store.WriteAsync((c, _) => Scalar(c, "PRAGMA journal_mode"), Token));
        Assert.Equal(2L, await store.WriteAsync((c, _) => Scalar(c, "PRAGMA synchronous"), Token));
    }

    [Fact]
    public async Task A_store_that_is_not_prepared_says_so()
    {
        await using var store = SqliteHarness.NewSqliteStore(_harness.DatabasePath);
        await Assert.ThrowsAsync<InvalidOperationException>(() => store.AppendAsync([SampleReadings.Numbered("quay-west", 1)], Token));
    }

    // Numbers: sqlite.org/rescode.html.
    [Theory]
    [InlineData(13, true, "full disk")]
    [InlineData(5, true, "another program")]
    [InlineData(6, true, "another program")]
    [InlineData(10, true, "Check the disk")]
    [InlineData(8, false, "right to write")]
    [InlineData(14, false, "cannot be opened")]
    [InlineData(11, false, "backup")]
    [InlineData(26, false, "backup")]
    [InlineData(1, false, "schema")]
    public void Each_result_code_has_a_remedy_and_says_whether_a_retry_helps(int code, bool isTransient, string remedy)
    {
        var error = SqliteFaults.Translate(new SqliteException("reason", code), "data/history.db");

        Assert.Equal(isTransient, error.IsTransient);
        Assert.Contains(remedy, error.Message, StringComparison.Ordinal);
        Assert.Contains("data/history.db", error.Message, StringComparison.Ordinal);
    }

    private static Task<List<Domain.Readings.SwitchReading>> ReadAllAsync(SqliteStore store) =>
        store.ReadAsync("quay-west", DateTimeOffset.MinValue, DateTimeOffset.MaxValue, Token).ToListAsync(Token).AsTask();

    // The writing connection keeps this limit; a full disk gives the same result code.
    private static Task LimitPagesAsync(SqliteStore store, long pages) =>
        store.WriteAsync((c, _) => Scalar(c, $"PRAGMA max_page_count = {pages}"), Token);

    private static object? Scalar(SqliteConnection connection, string sql)
    {
        using var command = connection.CreateCommand();
        command.CommandText = sql;
        return command.ExecuteScalar();
    }
}
