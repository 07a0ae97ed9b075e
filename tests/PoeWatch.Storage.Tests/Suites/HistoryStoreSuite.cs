using PoeWatch.Domain.Quantities;
using PoeWatch.Domain.Readings;
using PoeWatch.Monitoring.Abstractions;

namespace PoeWatch.Storage.Tests.Suites;

/// <summary>What every history store does. Each adapter inherits it.</summary>
public abstract class HistoryStoreSuite : StoreSuite
{
    private static readonly DateTimeOffset Start = SampleReadings.Start;

    [Fact]
    public async Task Every_state_provenance_and_class_comes_back_exactly()
    {
        await using var store = await Harness.OpenAsync();
        var reading = SampleReadings.EveryCombination("quay-west", 7, Start) with { InterfaceNames = SampleReadings.Names("quay-west", "Gi1/0", 48) };

        await store.History.AppendAsync([reading], Token);

        ReadingAssert.Equal([reading], await ReadAllAsync(store.History, "quay-west"));
    }

    [Fact]
    public async Task Unknown_watts_stay_unknown_and_never_become_zero()
    {
        await using var store = await Harness.OpenAsync();
        var unknown = PortReading.Nothing(new PsePortRef("quay-west", 1, 1));
        var off = new PortReading(new PsePortRef("quay-west", 1, 2), PortState.Searching, Power.Zero, Provenance.Off, null);

        await store.History.AppendAsync([SampleReadings.Answered("quay-west", 1, Start, unknown, off)], Token);

        var read = Assert.Single(await ReadAllAsync(store.History, "quay-west"));
        Assert.Null(read.Ports[0].DrawAtPse);
        Assert.Equal(Provenance.Unknown, read.Ports[0].Provenance);
        Assert.Equal(Power.Zero, read.Ports[1].DrawAtPse);
    }

    [Fact]
    public async Task A_poll_without_answer_is_stored_with_its_reason_and_no_ports()
    {
        await using var store = await Harness.OpenAsync();
        var silent = SampleReadings.Silent("quay-west", 3, Start);

        await store.History.AppendAsync([silent], Token);

        var read = Assert.Single(await ReadAllAsync(store.History, "quay-west"));
        ReadingAssert.Equal(silent, read);
        Assert.Empty(read.Ports);
    }

    [Theory]
    [InlineData(0)]
    [InlineData(1)]
    [InlineData(9)]
    public async Task Time_comes_back_to_the_tick_and_in_utc(int ticks)
    {
        await using var store = await Harness.OpenAsync();
        var at = new DateTimeOffset(2026, 3, 1, 7, 0, 0, TimeSpan.FromHours(1)).AddTicks(12_345_670 + ticks);

        await store.History.AppendAsync([SampleReadings.Silent("quay-west", 1, at)], Token);

        var read = Assert.Single(await ReadAllAsync(store.History, "quay-west"));
        Assert.Equal(at.UtcTicks, read.At.UtcTicks);
        Assert.Equal(TimeSpan.Zero, read.At.Offset);
    }

    [Fact]
    public async Task A_range_is_half_open_and_neighbouring_ranges_share_no_reading()
    {
        await using var store = await Harness.OpenAsync();
        var readings = Enumerable.Range(0, 40).Select(n => SampleReadings.Silent("quay-west", n, Start.AddTicks(n * 3))).ToList();
        await store.History.AppendAsync(Distinct(readings), Token);

        var border = Start.AddTicks(37);
        var before = await store.History.ReadAsync("quay-west", Start, border, Token).ToListAsync(Token);
        var after = await store.History.ReadAsync("quay-west", border, Start.AddTicks(1000), Token).ToListAsync(Token);

        var kept = await ReadAllAsync(store.History, "quay-west");
        Assert.NotEmpty(before);
        Assert.NotEmpty(after);
        Assert.All(before, r => Assert.True(r.At < border));
        Assert.All(after, r => Assert.True(r.At >= border));
        ReadingAssert.Equal(kept, before.Concat(after));
    }

    [Fact]
    public async Task Readings_come_in_time_order_and_of_one_element_only()
    {
        await using var store = await Harness.OpenAsync();
        var quay = Enumerable.Range(0, 30).Select(n => SampleReadings.Numbered("quay-west", n)).ToList();
        var mole = Enumerable.Range(0, 30).Select(n => SampleReadings.Numbered("mole-head", n)).ToList();

        await store.History.AppendAsync([.. quay.Concat(mole).OrderByDescending(r => r.At)], Token);

        ReadingAssert.Equal(quay, await ReadAllAsync(store.History, "quay-west"));
        ReadingAssert.Equal(mole, await ReadAllAsync(store.History, "mole-head"));
        Assert.Empty(await ReadAllAsync(store.History, "nowhere"));
    }

    [Fact]
    public async Task A_repeated_batch_changes_nothing()
    {
        await using var store = await Harness.OpenAsync();
        var batch = Enumerable.Range(0, 20).Select(n => SampleReadings.Numbered("quay-west", n)).ToList();

        await store.History.AppendAsync(batch, Token);
        await store.History.AppendAsync(batch, Token);
        await store.History.AppendAsync([.. batch, SampleReadings.Numbered("quay-west", 20)], Token);

        ReadingAssert.Equal([.. batch, SampleReadings.Numbered("quay-west", 20)], await ReadAllAsync(store.History, "quay-west"));
    }

    [Fact]
    public async Task A_reading_once_stored_is_not_overwritten()
    {
        await using var store = await Harness.OpenAsync();
        var first = SampleReadings.Numbered("quay-west", 1);

        await store.History.AppendAsync([first], Token);
        await store.History.AppendAsync([SampleReadings.Silent("quay-west", 99, first.At)], Token);

        ReadingAssert.Equal([first], await ReadAllAsync(store.History, "quay-west"));
    }

    [Fact]
    public async Task An_empty_batch_is_accepted()
    {
        await using var store = await Harness.OpenAsync();
        await store.History.AppendAsync([], Token);
        Assert.Empty(await store.History.ReadLatestAsync(Token));
    }

    [Fact]
    public async Task Latest_is_the_newest_reading_of_each_element()
    {
        await using var store = await Harness.OpenAsync();
        var silent = SampleReadings.Silent("mole-head", 50, Start.AddMinutes(5));
        await store.History.AppendAsync([.. Enumerable.Range(0, 9).Select(n => SampleReadings.Numbered("quay-west", n)), silent], Token);
        await store.History.AppendAsync([SampleReadings.Numbered("mole-head", 3)], Token);

        var latest = await store.History.ReadLatestAsync(Token);

        ReadingAssert.Equal([silent, SampleReadings.Numbered("quay-west", 8)], latest.OrderBy(r => r.PseId, StringComparer.Ordinal));
    }

    [Fact]
    public async Task Names_of_interfaces_change_with_time_and_are_stored_once_per_change()
    {
        await using var store = await Harness.OpenAsync();
        var old = SampleReadings.Names("quay-west", "Gi1/0", 48);
        var renamed = old.SetItem(new PsePortRef("quay-west", 1, 7), "Pole 7 \0 Kai–Nord");
        var readings = Enumerable.Range(0, 60)
            .Select(n => SampleReadings.Numbered("quay-west", n) with { InterfaceNames = n < 30 ? old : renamed })
            .Append(SampleReadings.Silent("quay-west", 60, Start.AddSeconds(60)))
            .ToList();

        await store.History.AppendAsync(readings[..10], Token);
        await store.History.AppendAsync(readings[10..], Token);

        ReadingAssert.Equal(readings, await ReadAllAsync(store.History, "quay-west"));
        Assert.Equal(2, await Harness.CountAsync("interface_names"));
    }

    [Fact]
    public async Task Ten_thousand_readings_come_back_complete_and_in_order()
    {
        await using var store = await Harness.OpenAsync();
        var readings = Enumerable.Range(0, 10_000).Select(n => SampleReadings.Numbered("quay-west", n)).ToList();

        foreach (var batch in readings.Chunk(1500))
        {
            await store.History.AppendAsync(batch, Token);
        }

        ReadingAssert.Equal(readings, await ReadAllAsync(store.History, "quay-west"));
    }

    [Fact]
    public async Task Readers_see_whole_batches_while_they_are_written()
    {
        await using var store = await Harness.OpenAsync();
        await store.History.AppendAsync([.. Batch(0)], Token);
        var writing = Task.Run(
            async () =>
            {
                for (var n = 1; n <= 40; n++)
                {
                    await store.History.AppendAsync([.. Batch(n)], Token);
                }
            },
            Token);

        var reads = 0;
        do
        {
            var seen = await ReadAllAsync(store.History, "quay-west");
            ReadingAssert.Equal(Enumerable.Range(0, seen.Count).Select(n => SampleReadings.Numbered("quay-west", n)), seen);
            Assert.Equal(0, seen.Count % 25);
            reads++;
        }
        while (!writing.IsCompleted && reads < 5000);

        await writing;
        Assert.Equal(41 * 25, (await ReadAllAsync(store.History, "quay-west")).Count);

        static IEnumerable<SwitchReading> Batch(int n) => Enumerable.Range(n * 25, 25).Select(i => SampleReadings.Numbered("quay-west", i));
    }

    [Fact]
    public async Task Many_writers_at_once_lose_nothing()
    {
        await using var store = await Harness.OpenAsync();
        var batches = Enumerable.Range(0, 24)
            .Select(n => Enumerable.Range(0, 10).Select(i => SampleReadings.Numbered($"switch-{(n + i) % 6}", (n * 10) + i)).ToList())
            .ToList();

        await Task.WhenAll(batches.Select(b => store.History.AppendAsync(b, Token)));

        foreach (var expected in batches.SelectMany(b => b).GroupBy(r => r.PseId))
        {
            ReadingAssert.Equal(expected.OrderBy(r => r.At), await ReadAllAsync(store.History, expected.Key));
        }
    }

    [Fact]
    public async Task A_cancelled_append_writes_nothing_and_the_store_goes_on()
    {
        await using var store = await Harness.OpenAsync();
        using var cancelled = new CancellationTokenSource();
        await cancelled.CancelAsync();

        await Assert.ThrowsAnyAsync<OperationCanceledException>(
            () => store.History.AppendAsync([SampleReadings.Numbered("quay-west", 1)], cancelled.Token));
        Assert.Empty(await store.History.ReadLatestAsync(Token));

        await store.History.AppendAsync([SampleReadings.Numbered("quay-west", 2)], Token);
        Assert.Single(await store.History.ReadLatestAsync(Token));
    }

    [Fact]
    public async Task A_cancelled_read_ends_in_the_middle()
    {
        await using var store = await Harness.OpenAsync();
        await store.History.AppendAsync([.. Enumerable.Range(0, 2000).Select(n => SampleReadings.Numbered("quay-west", n))], Token);
        using var cancellation = new CancellationTokenSource();
        var seen = 0;

        await Assert.ThrowsAnyAsync<OperationCanceledException>(async () =>
        {
            await foreach (var reading in store.History.ReadAsync("quay-west", Start, DateTimeOffset.MaxValue, cancellation.Token))
            {
                if (++seen == 10)
                {
                    await cancellation.CancelAsync();
                }
            }
        });

        Assert.InRange(seen, 10, 1999);
    }

    [Fact]
    public async Task A_batch_that_fails_half_way_leaves_nothing()
    {
        await using var store = await Harness.OpenAsync();
        var foreign = SampleReadings.Answered("quay-west", 2, Start.AddSeconds(9), SampleReadings.Port("mole-head", 1, 5));

        await Assert.ThrowsAsync<ArgumentException>(
            () => store.History.AppendAsync([SampleReadings.Numbered("quay-west", 1), foreign], Token));

        Assert.Empty(await ReadAllAsync(store.History, "quay-west"));
        await store.History.AppendAsync([SampleReadings.Numbered("quay-west", 1)], Token);
        Assert.Single(await ReadAllAsync(store.History, "quay-west"));
    }

    [Fact]
    public async Task What_was_stored_is_there_after_the_store_is_opened_again()
    {
        var readings = Enumerable.Range(0, 50).Select(n => SampleReadings.Numbered("quay-west", n)).ToList();
        await using (var first = await Harness.OpenAsync())
        {
            await first.History.AppendAsync(readings[..25], Token);
        }

        await using var second = await Harness.OpenAsync();
        await second.History.PrepareAsync(Token);
        await second.History.AppendAsync(readings[25..], Token);

        ReadingAssert.Equal(readings, await ReadAllAsync(second.History, "quay-west"));
    }

    [Fact]
    public async Task Strange_text_of_an_agent_does_not_stop_a_batch()
    {
        await using var store = await Harness.OpenAsync();
        var strange = SampleReadings.Silent("quay-west", 1, Start) with { Detail = "nul \0 half \ud83d whole \U0001F4A1" };

        await store.History.AppendAsync([strange], Token);

        Assert.Equal("nul \uFFFD half \uFFFD whole \U0001F4A1", Assert.Single(await ReadAllAsync(store.History, "quay-west")).Detail);
    }

    [Fact]
    public async Task A_changed_byte_is_found_out_and_gives_no_number()
    {
        await using var store = await Harness.OpenAsync();
        await store.History.AppendAsync([SampleReadings.Numbered("quay-west", 1)], Token);
        var payload = Assert.Single(await Harness.PayloadsAsync());
        payload[^6] ^= 0x01;
        await Harness.ReplacePayloadsAsync(payload);

        var error = await Assert.ThrowsAsync<StoreException>(() => ReadAllAsync(store.History, "quay-west"));

        Assert.Contains("quay-west", error.Message, StringComparison.Ordinal);
        Assert.Contains("check sum", error.Message, StringComparison.Ordinal);
        Assert.False(error.IsTransient);
    }

    [Fact]
    public async Task A_row_moved_to_another_time_is_found_out()
    {
        await using var store = await Harness.OpenAsync();
        await store.History.AppendAsync([SampleReadings.Numbered("quay-west", 1), SampleReadings.Numbered("quay-west", 2)], Token);
        await Harness.ReplacePayloadsAsync((await Harness.PayloadsAsync())[0]);

        await Assert.ThrowsAsync<StoreException>(() => ReadAllAsync(store.History, "quay-west"));
    }

    // Readings within one microsecond are one poll for the store.
    private static List<SwitchReading> Distinct(List<SwitchReading> readings) => [.. readings.DistinctBy(r => r.At.UtcTicks / 10)];
}
