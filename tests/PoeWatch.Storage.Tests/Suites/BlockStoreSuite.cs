using PoeWatch.Domain.Readings;
using PoeWatch.Monitoring.Abstractions;

namespace PoeWatch.Storage.Tests.Suites;

/// <summary>Packing, late polls and deleting: what is read stays the same. Each adapter inherits it.</summary>
public abstract class BlockStoreSuite : StoreSuite
{
    private static readonly DateTimeOffset Later = SampleReadings.Start.AddDays(1);

    [Fact]
    public async Task Packed_hours_read_as_before_and_leave_the_journal()
    {
        await using var store = await Harness.OpenAsync();
        var polls = Polls(new Random(3), 150, TimeSpan.FromMinutes(2));
        await store.History.AppendAsync(polls, Token);

        Assert.True(await PackAllAsync(store, Later) >= 5);

        Assert.Equal(0, await Harness.CountAsync("poll"));
        ReadingAssert.Equal(polls, await ReadAllAsync(store.History, "quay-west"));
        ReadingAssert.Equal(polls[^1], Assert.Single(await store.History.ReadLatestAsync(Token)));
        ReadingAssert.Equal(
            polls.Where(p => p.At >= polls[40].At && p.At < polls[90].At), await store.History.ReadAsync("quay-west", polls[40].At, polls[90].At, Token).ToListAsync(Token));
    }

    [Fact]
    public async Task An_hour_that_is_not_over_stays_in_the_journal()
    {
        await using var store = await Harness.OpenAsync();
        await store.History.AppendAsync([SampleReadings.Numbered("quay-west", 1), SampleReadings.Numbered("quay-west", 3700)], Token);

        await PackAllAsync(store, SampleReadings.Start.AddHours(1.99));

        Assert.Equal((1L, 1L), (await Harness.CountAsync("poll"), await Harness.CountAsync("block")));
        Assert.Equal(2, (await ReadAllAsync(store.History, "quay-west")).Count);
    }

    [Fact]
    public async Task Late_polls_of_a_packed_hour_come_in_order_and_take_a_further_part()
    {
        await using var store = await Harness.OpenAsync();
        await store.History.AppendAsync([.. new[] { 1, 3, 5 }.Select(n => SampleReadings.Numbered("quay-west", n))], Token);
        await PackAllAsync(store, Later);
        await store.History.AppendAsync([.. new[] { 4, 2, 6 }.Select(n => SampleReadings.Numbered("quay-west", n))], Token);
        var expected = Enumerable.Range(1, 6).Select(n => SampleReadings.Numbered("quay-west", n)).ToList();

        ReadingAssert.Equal(expected, await ReadAllAsync(store.History, "quay-west"));
        ReadingAssert.Equal(expected[^1], Assert.Single(await store.History.ReadLatestAsync(Token)));
        await PackAllAsync(store, Later);

        Assert.Equal((0L, 2L), (await Harness.CountAsync("poll"), await Harness.CountAsync("block")));
        ReadingAssert.Equal(expected, await ReadAllAsync(store.History, "quay-west"));
    }

    [Fact]
    public async Task A_packed_poll_that_is_written_again_stays_one_and_as_it_was()
    {
        await using var store = await Harness.OpenAsync();
        var first = SampleReadings.Numbered("quay-west", 1);
        await store.History.AppendAsync([first], Token);
        await PackAllAsync(store, Later);

        await store.History.AppendAsync([SampleReadings.Silent("quay-west", 99, first.At)], Token);

        ReadingAssert.Equal(first, Assert.Single(await ReadAllAsync(store.History, "quay-west")));
        await PackAllAsync(store, Later);
        Assert.Equal((0L, 1L), (await Harness.CountAsync("poll"), await Harness.CountAsync("block")));
        ReadingAssert.Equal(first, Assert.Single(await ReadAllAsync(store.History, "quay-west")));
    }

    [Fact]
    public async Task Hours_with_very_many_polls_and_more_blocks_than_a_page_read_whole()
    {
        await using var store = await Harness.OpenAsync();
        var polls = Enumerable.Range(0, 9_100).Select(n => SampleReadings.Numbered("quay-west", n)).ToList();
        await store.History.AppendAsync(polls, Token);
        await PackAllAsync(store, SampleReadings.Start.AddHours(2));

        Assert.Equal(1_900, await Harness.CountAsync("poll"));
        Assert.Equal(80, await Harness.CountAsync("block"));
        ReadingAssert.Equal(polls, await ReadAllAsync(store.History, "quay-west"));
        var marks = new List<PollMark>();
        await foreach (var page in store.Ports.ReadPortsAsync("quay-west", [], DateTimeOffset.MinValue, DateTimeOffset.MaxValue, Token))
        {
            marks.AddRange(page.Polls);
        }

        Assert.Equal(polls.Select(p => p.At), marks.Select(m => m.At));
    }

    [Fact]
    public async Task While_hours_are_packed_no_reader_misses_a_poll_or_sees_one_twice()
    {
        await using var store = await Harness.OpenAsync();
        var polls = Polls(new Random(5), 400, TimeSpan.FromMinutes(3));
        await store.History.AppendAsync(polls, Token);
        var packing = Task.Run(() => PackAllAsync(store, Later), Token);
        var rounds = 0;
        do
        {
            Assert.Equal(polls.Select(p => p.At), (await ReadAllAsync(store.History, "quay-west")).Select(p => p.At));
            rounds++;
        }
        while (!packing.IsCompleted);

        Assert.True(await packing > 0);
        Assert.InRange(rounds, 1, 1000);
    }

    [Fact]
    public async Task A_packing_that_fails_in_its_middle_changes_nothing_and_is_done_later()
    {
        await using var store = await Harness.OpenAsync();
        var polls = Polls(new Random(6), 100, TimeSpan.FromMinutes(1));
        await store.History.AppendAsync(polls, Token);
        for (var left = 0; left < 100; left += 7)
        {
            await Harness.BreakAsync(int.MaxValue, left);
            await Assert.ThrowsAsync<StoreException>(() => PackAllAsync(store, Later));
            await Harness.MendAsync();
            ReadingAssert.Equal(polls, await ReadAllAsync(store.History, "quay-west"));
        }

        await PackAllAsync(store, Later);
        Assert.Equal(0, await Harness.CountAsync("poll"));
        ReadingAssert.Equal(polls, await ReadAllAsync(store.History, "quay-west"));
    }

    [Fact]
    public async Task A_damaged_block_gives_no_number_and_names_element_and_hour()
    {
        await using var store = await Harness.OpenAsync();
        await store.History.AppendAsync([SampleReadings.Numbered("quay-west", 1)], Token);
        await PackAllAsync(store, Later);
        await Harness.ReplaceBlocksAsync([1, 2, 3, 4, 5, 6, 7, 8]);

        var error = await Assert.ThrowsAsync<StoreException>(() => ReadAllAsync(store.History, "quay-west"));

        Assert.Contains("'quay-west'", error.Message, StringComparison.Ordinal);
        Assert.Contains("2026-03-01T06:00:00", error.Message, StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_damaged_row_keeps_no_other_hour_from_being_packed()
    {
        await using var store = await Harness.OpenAsync();
        await store.History.AppendAsync([SampleReadings.Numbered("quay-west", 1)], Token);
        await Harness.ReplacePayloadsAsync([1, 2, 3, 4, 5, 6, 7, 8]);
        await store.History.AppendAsync([SampleReadings.Numbered("quay-west", 4000), SampleReadings.Numbered("quay-east", 1)], Token);

        await PackAllAsync(store, Later);

        Assert.Equal((1L, 2L), (await Harness.CountAsync("poll"), await Harness.CountAsync("block")));
        Assert.Single(await ReadAllAsync(store.History, "quay-east"));
    }

    [Fact]
    public async Task Deleting_takes_months_that_are_past_and_nothing_from_the_bound_on()
    {
        await using var store = await Harness.OpenAsync();
        var polls = Polls(new Random(8), 90, TimeSpan.FromHours(24));
        await store.History.AppendAsync(polls, Token);
        await PackAllAsync(store, polls[60].At);
        var bound = polls[75].At;

        await store.Upkeep.DropRawAsync(bound, Token);

        var left = await ReadAllAsync(store.History, "quay-west");
        ReadingAssert.Equal(polls.Where(p => p.At >= bound), left.Where(p => p.At >= bound));
        Assert.DoesNotContain(left, p => p.At < new DateTimeOffset(bound.Year, bound.Month, 1, 0, 0, 0, TimeSpan.Zero));
    }

    internal static async Task<int> PackAllAsync(OpenStore store, DateTimeOffset before)
    {
        var (sum, packed) = (0, 1);
        while (packed > 0)
        {
            packed = await store.Upkeep.PackAsync(before, Token);
            sum += packed;
        }

        return sum;
    }

    private static List<SwitchReading> Polls(Random random, int count, TimeSpan period) =>
        [.. Enumerable.Range(0, count).Select(n => SampleReadings.Random(random, "quay-west", n, SampleReadings.Start + (n * period) + TimeSpan.FromTicks(random.Next(10_000_000))))];
}
