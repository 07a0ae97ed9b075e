using Microsoft.Extensions.Logging.Abstractions;
using PoeWatch.Monitoring.Abstractions;
using PoeWatch.Monitoring.Sealing;
using PoeWatch.Monitoring.Storage.Moves;
using PoeWatch.Storage.Postgres;
using PoeWatch.Storage.Sqlite;
using PoeWatch.Storage.Tests.Postgres;
using PoeWatch.Storage.Tests.Sqlite;
using PoeWatch.Storage.Tests.Suites;

namespace PoeWatch.Storage.Tests.Moves;

/// <summary>Everything that SQLite holds goes into PostgreSQL, whole or not at all.</summary>
public sealed class StoreMoveTests(PostgresServer server) : IAsyncLifetime
{
    private readonly SqliteHarness _sqlite = new();
    private PostgresHarness _postgres = null!;

    private static CancellationToken Token => TestContext.Current.CancellationToken;

    public async ValueTask InitializeAsync() => _postgres = (PostgresHarness)await PostgresHarness.NewAsync(server);

    public async ValueTask DisposeAsync()
    {
        await _sqlite.DisposeAsync();
        await _postgres.DisposeAsync();
    }

    [Theory]
    [InlineData(1)]
    [InlineData(2)]
    [InlineData(3)]
    public async Task Everything_is_there_afterwards_and_life_goes_on(int seed)
    {
        await using var from = await LivedAsync(seed);
        await using var to = await _postgres.OpenAsync();
        var moved = new List<MovedTable>();
        await StoreMover.MoveAsync((IStoreTables)from.Owner, (IStoreFilling)to.Owner, moved.Add, Token);

        Assert.All(moved, table => Assert.True(table.Rows > 0, $"{table.Name} has no row, so nothing is shown about it"));
        foreach (var table in moved)
        {
            Assert.Equal(await _sqlite.CountAsync(table.Name), await _postgres.CountAsync(table.Name));
        }

        foreach (var element in LivedStore.Elements)
        {
            ReadingAssert.Equal(await ReadAllAsync(from, element), await ReadAllAsync(to, element));
        }

        ReadingAssert.Equal(await from.History.ReadLatestAsync(Token), await to.History.ReadLatestAsync(Token));
        Assert.Equal(await from.Alarms.LoadAlarmsAsync(Token), (await to.Alarms.LoadAlarmsAsync(Token)).OrderBy(a => a.Key));
        Assert.Equal(await from.Designs.ReadDesignsAsync(Token), await to.Designs.ReadDesignsAsync(Token));
        var before = await ProveAsync(from);
        Assert.Equal(Text(before), Text(await ProveAsync(to)));
        Assert.True(before.Recomputed > 256);

        // New rows take new numbers, the tree grows on from where it stood, and old and new blocks lie side by side.
        await LivedStore.SealAsync(to, new Random(seed), from: 120, quarters: 20);
        await BlockStoreSuite.PackAllAsync(to, LivedStore.End.AddDays(2));
        await to.Designs.SaveDesignAsync(new DesignVersion("abc3", "later", LivedStore.End, "mira"), Token);
        var after = await ProveAsync(to);
        Assert.True(after.Leaves > before.Leaves);
        Assert.Equal(0, after.FaultCount);
        Assert.Equal(["abc1", "abc2", "abc3"], (await to.Designs.ReadDesignsAsync(Token)).Select(d => d.Hash));
    }

    [Fact]
    public async Task A_move_that_breaks_off_at_any_row_leaves_nothing_and_can_be_begun_anew()
    {
        await using var from = await LivedAsync(4);
        await using var to = await _postgres.OpenAsync();
        var tables = (IStoreTables)from.Owner;
        var broken = 0;
        for (var row = 1; ; row *= 2)
        {
            try
            {
                // Of the later rows every second breaks the session of the database itself, as a restart of the server would.
                await StoreMover.MoveAsync(new BreakingTables(tables, row, row % 3 == 1 ? KillSessionsAsync : null), (IStoreFilling)to.Owner, _ => { }, Token);
                break;
            }
            catch (Exception e) when (e is InjectedException or StoreException { IsTransient: true })
            {
                broken++;
                foreach (var table in await tables.ReadTablesAsync(Token))
                {
                    Assert.Equal(0, await _postgres.CountAsync(table.Name));
                }
            }
        }

        Assert.True(broken > 8);
        Assert.Equal(Text(await ProveAsync(from)), Text(await ProveAsync(to)));
    }

    [Fact]
    public async Task A_database_that_holds_anything_is_refused_and_stays_as_it_is()
    {
        await using var from = await LivedAsync(5);
        await using var to = await _postgres.OpenAsync();
        await to.Designs.SaveDesignAsync(new DesignVersion("abc9", "other", LivedStore.Start, "mira"), Token);

        var error = await Assert.ThrowsAsync<StoreException>(() => MoveAsync(from, to));

        Assert.Contains("'design_version'", error.Message, StringComparison.Ordinal);
        Assert.Contains("empty database", error.Message, StringComparison.Ordinal);
        Assert.Equal("abc9", Assert.Single(await to.Designs.ReadDesignsAsync(Token)).Hash);
        Assert.Equal(0, await _postgres.CountAsync("poll"));
    }

    [Theory]
    [InlineData("alarm_change", "NEW.text := NEW.text || '.';")]
    [InlineData("seal_leaf", "NEW.hash := sha256(NEW.hash);")]
    [InlineData("poll", "IF NEW.at > '2026-03-01 01:30Z' THEN RETURN NULL; END IF;")]
    public async Task A_row_that_comes_out_other_than_it_went_in_is_found_and_nothing_kept(string table, string change)
    {
        await using var from = await LivedAsync(6);
        await using var to = await _postgres.OpenAsync();
        await _postgres.ExecuteAsync(
            $"""
            CREATE FUNCTION change_row() RETURNS trigger LANGUAGE plpgsql AS $$ BEGIN {change} RETURN NEW; END $$;
            CREATE TRIGGER change_row BEFORE INSERT ON {table} FOR EACH ROW EXECUTE FUNCTION change_row();
            """);

        var error = await Assert.ThrowsAsync<StoreException>(() => MoveAsync(from, to));

        Assert.Contains($"'{table}'", error.Message, StringComparison.Ordinal);
        Assert.Equal(0, await _postgres.CountAsync("pse"));
    }

    [Fact]
    public async Task Both_stores_show_the_same_tables_and_no_service_writes_meanwhile()
    {
        await using var from = await LivedAsync(7);
        await using var to = await _postgres.OpenAsync();
        await ((IStoreFilling)to.Owner).FillAsync(
            async writer => Assert.Equal(Text(await ((IStoreTables)from.Owner).ReadTablesAsync(Token)), Text(await writer.ReadTablesAsync(Token))), Token);

        await using var service = new SqliteStore(new SqliteStoreOptions(_sqlite.DatabasePath), NullLogger<SqliteStore>.Instance);
        Assert.Contains("Another PoeWatch service", (await Assert.ThrowsAsync<StoreException>(() => service.PrepareAsync(Token))).Message, StringComparison.Ordinal);
        await using var other = new PostgresStore(new PostgresStoreOptions(_postgres.ConnectionString), NullLogger<PostgresStore>.Instance);
        Assert.Contains("Another PoeWatch service", (await Assert.ThrowsAsync<StoreException>(() => other.PrepareAsync(Token))).Message, StringComparison.Ordinal);
    }

    private static Task MoveAsync(OpenStore from, OpenStore to) => StoreMover.MoveAsync((IStoreTables)from.Owner, (IStoreFilling)to.Owner, _ => { }, Token);

    private static Task<HistoryProofResult> ProveAsync(OpenStore store) =>
        new HistoryProof(store.History, (ISealStore)store.Owner, (ILateMarkStore)store.Owner).ProveAsync(Token);

    private static string Text(HistoryProofResult proof) => $"{proof with { Faults = [] }} {string.Join(' ', proof.Faults)}";

    private static IEnumerable<string> Text(IEnumerable<StoreTable> tables) =>
        tables.Select(t => $"{t.Name}: {string.Join(", ", t.Columns)}").Order(StringComparer.Ordinal);

    private static Task<List<PoeWatch.Domain.Readings.SwitchReading>> ReadAllAsync(OpenStore store, string element) =>
        store.History.ReadAsync(element, DateTimeOffset.MinValue, DateTimeOffset.MaxValue, Token).ToListAsync(Token).AsTask();

    private async Task<OpenStore> LivedAsync(int seed)
    {
        var store = await _sqlite.OpenAsync();
        await LivedStore.FillAsync(store, seed);
        return store;
    }

    private Task KillSessionsAsync() => _postgres.ExecuteAsync(
        "SELECT pg_terminate_backend(pid) FROM pg_stat_activity WHERE datname = current_database() AND pid <> pg_backend_pid()");

    private sealed class InjectedException : Exception;

    // Breaks at a row, counted over all tables: by itself, or by what it does to the other side.
    private sealed class BreakingTables(IStoreTables tables, int row, Func<Task>? breakAsync) : IStoreTables
    {
        private int _rows;

        public Task<IReadOnlyList<StoreTable>> ReadTablesAsync(CancellationToken cancellationToken) => tables.ReadTablesAsync(cancellationToken);

        public async IAsyncEnumerable<object?[]> ReadRowsAsync(
            StoreTable table, [System.Runtime.CompilerServices.EnumeratorCancellation] CancellationToken cancellationToken)
        {
            await foreach (var values in tables.ReadRowsAsync(table, cancellationToken))
            {
                if (++_rows == row)
                {
                    await (breakAsync?.Invoke() ?? throw new InjectedException());
                }

                yield return values;
            }
        }
    }
}
