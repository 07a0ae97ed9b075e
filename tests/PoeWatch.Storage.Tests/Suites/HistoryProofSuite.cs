using PoeWatch.Monitoring.Abstractions;
using PoeWatch.Monitoring.Sealing;
using PoeWatch.Storage.Tests.Moves;

namespace PoeWatch.Storage.Tests.Suites;

/// <summary>A store that was sealed, and what its proof says once somebody has been at it. Each adapter inherits it.</summary>
public abstract class HistoryProofSuite : StoreSuite
{
    [Fact]
    public async Task An_untouched_store_follows_from_its_readings_packed_or_not()
    {
        await using var store = await LivedAsync(11);
        var before = await ProveAsync(store);
        Assert.Equal((before.Leaves, 0L, 0L, 2), (before.Recomputed, before.WithoutReadings, before.FaultCount, before.Roots));
        Assert.True(before.Leaves > 256);
        Assert.True(await BlockStoreSuite.PackAllAsync(store, LivedStore.End.AddDays(1)) > 0);
        Assert.Equal(before with { Faults = [] }, await ProveAsync(store) with { Faults = [] });
    }

    [Fact]
    public async Task An_empty_store_proves_nothing_and_has_no_fault()
    {
        await using var store = await Harness.OpenAsync();
        Assert.Equal(new HistoryProofResult(0, 0, 0, 0, 0, []), await ProveAsync(store) with { Faults = [] });
    }

    [Fact]
    public async Task A_reading_put_in_the_place_of_a_sealed_one_is_named()
    {
        await using var store = await LivedAsync(12);
        var alone = (await ((ISealStore)store.Owner).ReadSealsAsync("quay-west", LivedStore.Start, LivedStore.End, Token)).First(s => s.PollTimes.Length == 1);
        var reading = (await store.History.ReadAsync("quay-west", alone.Start, alone.Start.AddMinutes(15), Token).ToListAsync(Token))[0];
        await Harness.ExecuteAsync("DELETE FROM poll");
        await store.History.AppendAsync([reading with { UpTime = (reading.UpTime ?? default) + TimeSpan.FromSeconds(1) }], Token);
        var proof = await ProveAsync(store);
        Assert.Equal(1, proof.FaultCount);
        Assert.Contains(FormattableString.Invariant($"'quay-west': the readings of the quarter-hour from {alone.Start:yyyy-MM-ddTHH:mm}Z"), proof.Faults[0], StringComparison.Ordinal);

        // The others that went with it are known to be gone, and nobody says that they were changed.
        Assert.True(proof.WithoutReadings > 0);
        Assert.Equal(proof.Leaves, proof.Recomputed + proof.WithoutReadings + proof.FaultCount);
    }

    [Fact]
    public async Task Each_change_of_the_tree_is_found()
    {
        (string Change, string Fault)[] changes =
        [
            ("DELETE FROM seal_tile", "kept hash 0 of level 8"),
            ("UPDATE day_root SET root = (SELECT hash FROM seal_leaf WHERE id = 8)", "root of 2026-02-28 does not follow"),
            ("UPDATE day_root SET size = size + 1000", "root of 2026-02-28 is of"),
            ("UPDATE seal_leaf SET hash = (SELECT hash FROM seal_leaf WHERE id = 8) WHERE id = 7", "(leaf 7)"),
            ("UPDATE seal_leaf SET element_id = (SELECT min(id) FROM sealed_element) + 1 WHERE id = 0", "(leaf 0)"),
            ("DELETE FROM seal_leaf WHERE id = 299", "lacks 1 of the"),
        ];
        await using var store = await LivedAsync(13);
        await Harness.ExecuteAsync("DROP INDEX seal_leaf_once");
        foreach (var (change, fault) in changes)
        {
            Assert.DoesNotContain((await ProveAsync(store)).Faults, f => f.Contains(fault, StringComparison.Ordinal));
            await Harness.ExecuteAsync(change);
            Assert.Contains((await ProveAsync(store)).Faults, f => f.Contains(fault, StringComparison.Ordinal));
        }
    }

    private static Task<HistoryProofResult> ProveAsync(OpenStore store) =>
        new HistoryProof(store.History, (ISealStore)store.Owner, (ILateMarkStore)store.Owner).ProveAsync(Token);

    private async Task<OpenStore> LivedAsync(int seed)
    {
        var store = await Harness.OpenAsync();
        await LivedStore.SealAsync(store, new Random(seed));
        return store;
    }
}
