using Microsoft.Extensions.Logging.Abstractions;
using Microsoft.Extensions.Options;
using Microsoft.Extensions.Time.Testing;
using PoeWatch.Domain.Readings;
using PoeWatch.Domain.Readings.Changes;
using PoeWatch.Monitoring.Abstractions;
using PoeWatch.Monitoring.Ingestion;
using PoeWatch.Monitoring.Ingestion.Spool;
using PoeWatch.Monitoring.Telemetry;
using PoeWatch.TestKit.Stores;

namespace PoeWatch.Monitoring.Tests.Ingestion;

public sealed class ReadingKeeperTests : IDisposable
{
    private readonly FakeTimeProvider _time = new(new DateTimeOffset(2026, 11, 24, 12, 0, 0, TimeSpan.Zero));
    private readonly MemoryStore _store = new();
    private readonly MemoryDisk _disk = new();
    private readonly StoreGate _gate;
    private readonly ReadingKeeper _keeper;
    private readonly ReadingIntake _intake;

    public ReadingKeeperTests()
    {
        _gate = new StoreGate(_store, _time, NullLogger<StoreGate>.Instance);
        _keeper = new ReadingKeeper(
            _store,
            _store,
            new ReadingSpool(_disk, 100_000, NullLogger<ReadingSpool>.Instance),
            _gate,
            new StorageMetrics(new TestMeters()),
            Options.Create(new KeeperOptions { WaitingMax = 100 }),
            _time,
            NullLogger<ReadingKeeper>.Instance);
        _intake = new ReadingIntake(new NetworkState(), _keeper);
    }

    private static CancellationToken Stop => TestContext.Current.CancellationToken;

    [Fact]
    public async Task Readings_are_written_together_and_known_to_be_kept()
    {
        await StartAsync();
        Accept(3);

        await UntilAsync(() => _keeper.KeptSequence == 3);

        Assert.Equal(3, _store.Readings.Count);
        Assert.Equal(1, _store.Appends);
        Assert.Equal(0, _keeper.WaitingReadings);
    }

    [Fact]
    public async Task Changes_of_agents_are_kept_with_their_reading_once_however_often_the_batch_is_tried()
    {
        await StartAsync();
        await UntilAsync(() => _gate.IsReady);
        _store.FailsAppend = true;
        _intake.Accept(new SwitchReading("quay", 0, _time.GetUtcNow(), PollOutcome.Answered, "", null, [], [])
        {
            Changes = [new AgentChange(AgentChangeKind.Restarted, "started again")],
        });
        await UntilAsync(() => _keeper.Problem.Length > 0 && _keeper.KeptSequence == 1);
        _store.FailsAppend = false;
        await UntilAsync(() => _keeper.Spooled.Polls == 0);

        AgentChangeNote note = Assert.Single(await _store.ReadAgentChangesAsync(DateTimeOffset.MinValue, DateTimeOffset.MaxValue, null, Stop));
        Assert.Equal(("quay", AgentChangeKind.Restarted, "started again"), (note.PseId, note.Kind, note.Text));
    }

    [Fact]
    public async Task While_the_store_is_away_readings_are_kept_in_the_spool_and_go_to_the_store_in_order()
    {
        await StartAsync();
        await UntilAsync(() => _gate.IsReady);
        _store.Failure = MemoryStore.Away("the database is down");
        Accept(5);
        await UntilAsync(() => _keeper.KeptSequence == 5);
        Accept(4);
        await UntilAsync(() => _keeper.KeptSequence == 9);

        Assert.Equal("the database is down", _keeper.Problem);
        Assert.Equal((0, 9L), (_keeper.WaitingReadings, _keeper.Spooled.Polls));
        Assert.Empty(_store.Readings);

        _store.Failure = null;
        await UntilAsync(() => _keeper.Spooled.Polls == 0);
        Assert.Equal([1, 2, 3, 4, 5, 6, 7, 8, 9], _store.Readings.Select(r => r.Sequence));
        Assert.Empty(_keeper.Problem);
        Assert.Equal(0, _disk.Bytes);
    }

    [Fact]
    public async Task Readings_of_a_former_life_go_to_the_store_first()
    {
        var before = new ReadingSpool(_disk, 100_000, NullLogger<ReadingSpool>.Instance);
        Assert.True(before.TryAdd([Silence(7), Silence(8)]));
        await StartAsync();
        Accept(2);
        await UntilAsync(() => _store.Readings.Count == 4);

        Assert.Equal([7, 8, 1, 2], _store.Readings.Select(r => r.Sequence));
    }

    [Fact]
    public async Task A_store_that_takes_too_long_for_a_write_does_not_keep_readings_from_being_kept()
    {
        await StartAsync();
        await UntilAsync(() => _gate.IsReady);
        _store.Held = new TaskCompletionSource(TaskCreationOptions.RunContinuationsAsynchronously);
        var asked = _time.GetUtcNow();
        Accept(3);
        await UntilAsync(() => _keeper.KeptSequence == 3);

        Assert.InRange(_time.GetUtcNow() - asked, TimeSpan.Zero, TimeSpan.FromSeconds(2));
        Assert.Empty(_store.Readings);
        _store.Held.SetResult();
        await UntilAsync(() => _keeper.Spooled.Polls == 0);
        Assert.Equal([1, 2, 3], _store.Readings.Select(r => r.Sequence));
    }

    [Fact]
    public async Task Stopping_while_the_store_is_away_keeps_what_waits_in_the_spool()
    {
        await StartAsync();
        await UntilAsync(() => _gate.IsReady);
        _store.Failure = MemoryStore.Away();
        Accept(4);

        await _keeper.StopAsync(Stop);

        Assert.Equal((4L, 4L), (_keeper.KeptSequence, _keeper.Spooled.Polls));
    }

    [Fact]
    public async Task While_neither_store_nor_disk_takes_them_readings_wait_and_none_passes_as_kept()
    {
        _disk.FailFrom = 0;
        await StartAsync();
        await UntilAsync(() => _gate.IsReady);
        _store.Failure = MemoryStore.Away("the database is down");
        Accept(5);
        await UntilAsync(() => _keeper.Problem.Length > 0);

        Assert.Equal("the database is down", _keeper.Problem);
        Assert.Equal((5, 0L), (_keeper.WaitingReadings, _keeper.KeptSequence));

        _store.Failure = null;
        await UntilAsync(() => _keeper.KeptSequence == 5);
        Assert.Equal([1, 2, 3, 4, 5], _store.Readings.Select(r => r.Sequence));
        Assert.Empty(_keeper.Problem);
    }

    [Fact]
    public async Task Beyond_the_bound_the_oldest_readings_go_and_are_counted()
    {
        await StartAsync();
        await UntilAsync(() => _gate.IsReady);
        _disk.FailFrom = 0;
        _store.Failure = MemoryStore.Away();
        Accept(130);

        Assert.Equal((100, 30L), (_keeper.WaitingReadings, _keeper.Dropped));
        _store.Failure = null;
        await UntilAsync(() => _keeper.KeptSequence == 130);
        Assert.Equal(Enumerable.Range(31, 100).Select(i => (long)i), _store.Readings.Select(r => r.Sequence));
    }

    [Fact]
    public async Task A_store_that_is_down_at_the_start_is_waited_for()
    {
        _store.Failure = MemoryStore.Away("not up yet");
        await StartAsync();
        Accept(2);
        await UntilAsync(() => _gate.Problem == "not up yet");
        Assert.False(_gate.IsReady);

        // Kept on this disk before the store was ever there.
        await UntilAsync(() => _keeper.KeptSequence == 2);
        _store.Failure = null;
        await UntilAsync(() => _store.Readings.Count == 2);
        Assert.True(_gate.IsReady);
    }

    [Fact]
    public async Task A_store_that_cannot_be_used_is_used_once_somebody_has_corrected_it()
    {
        _store.Failure = new StoreException("the password is wrong", isTransient: false, new IOException("refused"));
        await StartAsync();
        Accept(2);
        await UntilAsync(() => _gate.Problem == "the password is wrong" && _keeper.KeptSequence == 2);

        _store.Failure = null;
        await UntilAsync(() => _store.Readings.Count == 2);
        Assert.True(_gate.IsReady);
    }

    [Fact]
    public async Task Stopping_writes_what_still_waits()
    {
        await StartAsync();
        await UntilAsync(() => _gate.IsReady);
        Accept(4);

        await _keeper.StopAsync(Stop);

        Assert.Equal(4, _store.Readings.Count);
    }

    public void Dispose()
    {
        _keeper.Dispose();
        _gate.Dispose();
    }

    private async Task StartAsync()
    {
        await _gate.StartAsync(Stop);
        await _keeper.StartAsync(Stop);
    }

    private void Accept(int count)
    {
        for (var i = 0; i < count; i++)
        {
            _intake.Accept(Silence(0) with { At = _time.GetUtcNow().AddMilliseconds(i) });
        }
    }

    private static SwitchReading Silence(long sequence) =>
        new("quay", sequence, new DateTimeOffset(2026, 11, 24, 11, 0, (int)sequence, TimeSpan.Zero), PollOutcome.Silent, "", null, [], []);

    // Time is driven here and nowhere else; the other side runs on the thread pool, so it is given turns until the state is reached.
    private async Task UntilAsync(Func<bool> reached)
    {
        for (var turn = 0; turn < 5_000 && !reached(); turn++)
        {
            _time.Advance(TimeSpan.FromMilliseconds(100));
            await Task.Delay(TimeSpan.FromMilliseconds(1), TimeProvider.System, Stop);
        }

        Assert.True(reached(), "The state was not reached in 500 s of driven time.");
    }
}
