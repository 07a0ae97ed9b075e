using PoeWatch.Monitoring.Abstractions;
using PoeWatch.Monitoring.Sealing;
using PoeWatch.Storage.Sqlite;
using PoeWatch.Storage.Tests.Moves;
using PoeWatch.Storage.Tests.Suites;

namespace PoeWatch.Storage.Tests.Sqlite;

/// <summary>Backups of the file while a service writes it, and the store that comes of one.</summary>
public sealed class SqliteCopyTests : IAsyncLifetime
{
    private readonly SqliteHarness _harness = new();

    private static CancellationToken Token => TestContext.Current.CancellationToken;

    private string CopyPath => Path.Combine(_harness.Folder, "copy", "history.db");

    public ValueTask InitializeAsync()
    {
        Directory.CreateDirectory(Path.GetDirectoryName(CopyPath)!);
        return ValueTask.CompletedTask;
    }

    public ValueTask DisposeAsync() => _harness.DisposeAsync();

    [Fact]
    public async Task Copies_taken_while_it_is_written_hold_every_batch_that_had_returned_and_whole_batches_only()
    {
        await using var store = await _harness.OpenAsync();
        await using var other = SqliteHarness.NewSqliteStore(_harness.DatabasePath);
        using var enough = CancellationTokenSource.CreateLinkedTokenSource(Token);
        var returned = 0;
        var writing = Task.Run(
            async () =>
            {
                for (var n = 0; !enough.IsCancellationRequested; n++)
                {
                    await store.History.AppendAsync([SampleReadings.Numbered("quay-west", 2 * n), SampleReadings.Numbered("quay-west", (2 * n) + 1)], Token);
                    Volatile.Write(ref returned, n + 1);
                }
            },
            Token);
        for (var copy = 0; copy < 5; copy++)
        {
            var path = $"{CopyPath}-{copy}";
            var before = Volatile.Read(ref returned);
            await other.CopyAsync(path, Token);
            await using var restored = SqliteHarness.NewSqliteStore(path);
            await restored.PrepareAsync(Token);
            var readings = await restored.ReadAsync("quay-west", DateTimeOffset.MinValue, DateTimeOffset.MaxValue, Token).ToListAsync(Token);
            Assert.True(readings.Count >= 2 * before, $"{readings.Count} readings of {before} batches");
            ReadingAssert.Equal(Enumerable.Range(0, readings.Count / 2 * 2).Select(n => SampleReadings.Numbered("quay-west", n)), readings);
        }

        await enough.CancelAsync();
        await writing;
        Assert.True(returned > 5);
    }

    [Fact]
    public async Task A_restored_copy_is_proven_and_the_service_goes_on_in_it()
    {
        await using (var store = await _harness.OpenAsync())
        {
            await LivedStore.FillAsync(store, 21);
            await ((SqliteStore)store.Owner).CopyAsync(CopyPath, Token);
            await LivedStore.SealAsync(store, new Random(9), from: 120, quarters: 4);
        }

        await using var restored = SqliteHarness.NewSqliteStore(CopyPath);
        await restored.PrepareAsync(Token);
        var proof = await new HistoryProof(restored, restored, restored).ProveAsync(Token);
        Assert.Equal((0L, proof.Leaves), (proof.FaultCount, proof.Recomputed));
        await LivedStore.SealAsync(new OpenStore(restored, restored, restored, restored, restored, restored), new Random(9), from: 120, quarters: 8);
        var later = await new HistoryProof(restored, restored, restored).ProveAsync(Token);
        Assert.Equal(0, later.FaultCount);
        Assert.True(later.Leaves > proof.Leaves);
    }

    [Fact]
    public async Task A_copy_never_takes_the_place_of_a_file_and_what_breaks_off_leaves_none()
    {
        await using var store = await _harness.OpenAsync();
        await File.WriteAllTextAsync(CopyPath, "mine", Token);
        var sqlite = (SqliteStore)store.Owner;
        Assert.Contains("is there already", (await Assert.ThrowsAsync<StoreException>(() => sqlite.CopyAsync(CopyPath, Token))).Message, StringComparison.Ordinal);
        Assert.Equal("mine", await File.ReadAllTextAsync(CopyPath, Token));

        var nowhere = Path.Combine(_harness.Folder, "nowhere", "copy.db");
        var error = await Assert.ThrowsAsync<StoreException>(() => sqlite.CopyAsync(nowhere, Token));
        Assert.Contains("copy.db", error.Message, StringComparison.Ordinal);
        Assert.False(File.Exists(nowhere));
    }

    [Fact]
    public async Task A_damaged_file_gives_no_copy()
    {
        await using (var store = await _harness.OpenAsync())
        {
            await store.History.AppendAsync([.. Enumerable.Range(0, 2000).Select(n => SampleReadings.Numbered("quay-west", n))], Token);
        }

        await using (var file = new FileStream(_harness.DatabasePath, FileMode.Open))
        {
            // The last pages are leaves of the journal's tree.
            file.Position = file.Length - 16_384;
            file.Write(Enumerable.Repeat((byte)0xA5, 4_096).ToArray());
        }

        await using var damaged = SqliteHarness.NewSqliteStore(_harness.DatabasePath);
        await Assert.ThrowsAsync<StoreException>(() => damaged.CopyAsync(CopyPath, Token));
        Assert.Empty(Directory.GetFiles(Path.GetDirectoryName(CopyPath)!));
    }
}
