using System.Collections.Immutable;
using System.Globalization;
using PoeWatch.Domain.Evidence.Seals;
using PoeWatch.Monitoring.Abstractions;
using PoeWatch.Monitoring.Sealing;

namespace PoeWatch.Storage.Tests.Suites;

/// <summary>What every store of the hash tree does. Each adapter inherits it.</summary>
public abstract class SealStoreSuite : StoreSuite
{
    private static readonly DateTimeOffset Start = new(2026, 11, 25, 10, 0, 0, TimeSpan.Zero);

    [Fact]
    public async Task Leaves_come_back_as_they_were_appended_also_after_a_restart()
    {
        StoredSeal[] leaves = [Leaf(0, "quay-west", 0, 1_000_001, 61_000_000), Leaf(1, "Zoë", 0), Leaf(2, "quay-west", 15), Amendment(3, "quay-west", 0, 900)];
        await using (var first = await Harness.OpenAsync())
        {
            Assert.Equal(new SealState(0, null), await Seals(first).ReadSealStateAsync(Token));
            await Seals(first).AppendSealsAsync(Batch(0, leaves[..2]), Token);
            await Seals(first).AppendSealsAsync(Batch(2, leaves[2..]), Token);
        }

        await using var second = await Harness.OpenAsync();
        Assert.Equal(new SealState(4, Start.AddMinutes(15)), await Seals(second).ReadSealStateAsync(Token));
        AssertSame([leaves[0], leaves[3], leaves[2]], await Seals(second).ReadSealsAsync("quay-west", Start, Start.AddHours(1), Token));
        AssertSame([leaves[2]], await Seals(second).ReadSealsAsync("quay-west", Start.AddMinutes(1), Start.AddMinutes(16), Token));
        AssertSame([leaves[1]], await Seals(second).ReadSealsAsync("Zoë", Start, Start.AddMinutes(1), Token));
        Assert.Empty(await Seals(second).ReadSealsAsync("quay-west", Start.AddHours(-1), Start, Token));
        Assert.Equal(leaves.Select(l => l.Hash), await Seals(second).ReadHashesAsync(0, 0, 256, Token));
        Assert.Equal(["Zoë", "quay-west"], (await Marks(second).ReadSealedElementsAsync(Token)).Order(StringComparer.Ordinal));
    }

    [Fact]
    public async Task A_batch_that_begins_at_another_size_changes_nothing()
    {
        await using var store = await Harness.OpenAsync();
        await Seals(store).AppendSealsAsync(Batch(0, Leaf(0, "a", 0)), Token);
        await Marks(store).MarkLateAsync([new LateMark("a", Start)], Token);
        foreach (var first in new[] { 0, 2 })
        {
            var wrong = Batch(first, Leaf(first, "a", 15)) with { Root = Root("2026-11-25"), Done = [new LateMark("a", Start)] };
            await Assert.ThrowsAsync<StoreException>(() => Seals(store).AppendSealsAsync(wrong, Token));
        }

        // The same quarter-hour twice is refused too, whole.
        var twice = Batch(1, Leaf(1, "b", 0), Leaf(2, "a", 0)) with { Done = [new LateMark("a", Start)] };
        await Assert.ThrowsAnyAsync<Exception>(() => Seals(store).AppendSealsAsync(twice, Token));
        Assert.Equal(new SealState(1, Start), await Seals(store).ReadSealStateAsync(Token));
        Assert.Empty(await Seals(store).ReadRootsAsync(Token));
        Assert.Single(await Marks(store).ReadLateAsync(10, Token));
    }

    [Fact]
    public async Task Marks_stay_until_a_batch_answers_them()
    {
        LateMark[] marks = [new("a", Start), new("a", Start.AddMinutes(15)), new("b", Start)];
        await using (var first = await Harness.OpenAsync())
        {
            await Marks(first).MarkLateAsync(marks, Token);
            await Marks(first).MarkLateAsync([marks[0]], Token);
        }

        await using var store = await Harness.OpenAsync();
        Assert.Equal(marks, await Marks(store).ReadLateAsync(10, Token));
        Assert.Equal(marks[..2], await Marks(store).ReadLateAsync(2, Token));
        await Seals(store).AppendSealsAsync(Batch(0) with { Done = [marks[0], marks[2]] }, Token);
        Assert.Equal([marks[1]], await Marks(store).ReadLateAsync(10, Token));
    }

    [Fact]
    public async Task Roots_come_back_as_they_were_signed_and_a_day_has_one()
    {
        await using var store = await Harness.OpenAsync();
        SealedRoot[] roots = [Root("2026-11-24"), Root("2026-11-25") with { KeyId = "", Signature = "" }];
        await Seals(store).AppendSealsAsync(Batch(0, Leaf(0, "a", 0)) with { Root = roots[1] }, Token);
        await Seals(store).AppendSealsAsync(Batch(1) with { Root = roots[0] }, Token);
        await Seals(store).AppendSealsAsync(Batch(1) with { Root = roots[0] with { Size = 99 } }, Token);
        Assert.Equal(roots, await Seals(store).ReadRootsAsync(Token));
    }

    [Fact]
    public async Task Proofs_out_of_the_store_are_those_of_the_whole_tree()
    {
        await using var store = await Harness.OpenAsync();
        var frontier = new TreeFrontier();
        var all = new List<Digest>();

        // Above 2^8 and 2^9 leaves: kept subtrees are met, whole tiles and one that still grows.
        while (all.Count < 700)
        {
            var leaves = Enumerable.Range(all.Count, 35).Select(i => Leaf(i, $"e{i:000}", 0)).ToArray();
            var tiles = leaves.SelectMany(l => frontier.Append(l.Hash)).ToImmutableArray();
            await Seals(store).AppendSealsAsync(Batch(all.Count, leaves) with { Tiles = tiles }, Token);
            all.AddRange(leaves.Select(l => l.Hash));
        }

        var (tree, root) = (all.ToArray(), HashTree.Root(all.ToArray()));
        var reader = new TreeReader(Seals(store));
        Assert.Equal(root, frontier.Root());
        Assert.Equal(root, (await reader.FrontierAsync(tree.Length, Token)).Root());
        foreach (var index in new[] { 0, 1, 255, 256, 511, 512, 698, 699 })
        {
            Assert.Equal(root, HashTree.RootOfInclusion(index, tree.Length, tree[index], await reader.InclusionAsync(index, tree.Length, Token)));
        }

        foreach (var earlier in new[] { 1, 255, 256, 257, 600, 700 })
        {
            var before = HashTree.Root(tree.AsSpan(0, earlier));
            Assert.True(HashTree.IsConsistent(earlier, before, tree.Length, root, await reader.ConsistencyAsync(earlier, tree.Length, Token)));
            Assert.Equal(before, (await reader.FrontierAsync(earlier, Token)).Root());
        }
    }

    [Fact]
    public async Task Whatever_way_a_store_packs_readings_their_canonical_rows_stay_the_same()
    {
        await using var store = await Harness.OpenAsync();
        var random = new Random(20261125);
        var readings = Enumerable.Range(0, 120).Select(n => SampleReadings.Random(random, "quay-west", n, Start.AddSeconds(n * 30).AddTicks(random.Next(10))))
            .Append(SampleReadings.EveryCombination("quay-west", 120, Start.AddHours(2))).ToList();
        await store.History.AppendAsync(readings, Token);
        var read = await ReadAllAsync(store.History, "quay-west");
        Assert.Equal(readings.Select(SealedPoll.Of), read.Select(SealedPoll.Of));
        Assert.True(await BlockStoreSuite.PackAllAsync(store, Start.AddHours(4)) > 0);
        Assert.Equal(readings.Select(SealedPoll.Of), (await ReadAllAsync(store.History, "quay-west")).Select(SealedPoll.Of));
    }

    private static ISealStore Seals(OpenStore store) => (ISealStore)store.Owner;

    private static ILateMarkStore Marks(OpenStore store) => (ILateMarkStore)store.Owner;

    private static SealBatch Batch(long first, params StoredSeal[] leaves) => new(first, [.. leaves], [], null, []);

    private static StoredSeal Leaf(long index, string pseId, int minute, params long[] after) => new(
        index, SealKind.Seal, pseId, Start.AddMinutes(minute), [.. after.Select(a => SealInterval.MicrosecondsOf(Start.AddMinutes(minute)) + a)], Hash(index));

    private static StoredSeal Amendment(long index, string pseId, int minute, params long[] after) =>
        Leaf(index, pseId, minute, after) with { Kind = SealKind.Amendment };

    private static Digest Hash(long index) => HashTree.Leaf(BitConverter.GetBytes(index));

    private static SealedRoot Root(string day) =>
        new(DateOnly.Parse(day, CultureInfo.InvariantCulture), 1L << 40, Hash(7), Start.AddMicroseconds(5), new string('a', 64), "MEUCIQ==");

    private static void AssertSame(IEnumerable<StoredSeal> expected, IReadOnlyList<StoredSeal> actual) =>
        Assert.Equal(expected.Select(Text), actual.Select(Text));

    private static string Text(StoredSeal leaf) => $"{leaf with { PollTimes = [] }} {string.Join(' ', leaf.PollTimes)}";
}
