using Microsoft.Extensions.Logging.Abstractions;
using Microsoft.Extensions.Options;
using Microsoft.Extensions.Time.Testing;
using PoeWatch.Domain.Rollups;
using PoeWatch.Monitoring.Abstractions;
using PoeWatch.Monitoring.Ingestion;
using PoeWatch.TestKit.Stores;

namespace PoeWatch.Monitoring.Tests.Ingestion;

public sealed class HistoryUpkeepLoopTests : IDisposable
{
    private static readonly DateTimeOffset Now = new(2026, 11, 24, 12, 0, 0, TimeSpan.Zero);

    private readonly FakeTimeProvider _time = new(Now);
    private readonly MemoryStore _store = new();
    private readonly Upkeep _upkeep = new();
    private readonly List<IRetentionGuard> _guards = [];
    private readonly StoreGate _gate;
    private HistoryUpkeepLoop? _loop;

    public HistoryUpkeepLoopTests() => _gate = new StoreGate(_store, _time, NullLogger<StoreGate>.Instance);

    private static CancellationToken Stop => TestContext.Current.CancellationToken;

    [Fact]
    public async Task Hours_are_packed_once_their_lag_is_over_until_none_is_left()
    {
        _upkeep.HoursLeft = 3;
        await StartAsync();
        await UntilAsync(() => _upkeep.Packed.Count >= 4);

        Assert.InRange(_upkeep.Packed[0] - Now.AddMinutes(-15), TimeSpan.Zero, TimeSpan.FromMinutes(5));
        Assert.Equal(0, _upkeep.HoursLeft);
    }

    [Fact]
    public async Task Raw_readings_past_their_days_are_deleted_once_an_hour()
    {
        await StartAsync();
        await UntilAsync(() => _upkeep.Dropped.Count >= 2);

        Assert.InRange(_upkeep.Dropped[0] - Now.AddDays(-30), TimeSpan.Zero, TimeSpan.FromMinutes(5));
        Assert.InRange(_upkeep.Dropped[1] - _upkeep.Dropped[0], TimeSpan.FromHours(1), TimeSpan.FromHours(1.1));
    }

    [Fact]
    public async Task Nothing_is_deleted_that_a_guard_still_needs()
    {
        _guards.Add(new Guard(Now.AddDays(-50)));
        _guards.Add(new Guard(null));
        _guards.Add(new Guard(Now.AddDays(-10)));
        await StartAsync();
        await UntilAsync(() => _upkeep.Dropped.Count >= 1);

        Assert.Equal(Now.AddDays(-50), _upkeep.Dropped[0]);
    }

    [Fact]
    public async Task Rollups_stay_for_the_days_of_their_step()
    {
        await _store.SaveRollupsAsync(
            [.. from step in new[] { RollupStep.QuarterHour, RollupStep.Hour, RollupStep.Day } from age in new[] { 50, 80, 300, 500 } select Old(step, age)], Stop);
        await StartAsync();
        await UntilAsync(() => _upkeep.Dropped.Count >= 2);

        Assert.Equal(
            [(RollupStep.QuarterHour, 50), (RollupStep.Hour, 80), (RollupStep.Hour, 50), (RollupStep.Day, 300), (RollupStep.Day, 80), (RollupStep.Day, 50)],
            _store.Rollups.OrderBy(b => b.Step).ThenBy(b => b.Start).Select(b => (b.Step, (int)Math.Round((Now - b.End).TotalDays))));

        static RollupBlock Old(RollupStep step, int days) => new(RollupSubject.Site, step, Now.AddDays(-days - 1), Now.AddDays(-days), default);
    }

    [Fact]
    public async Task A_guard_that_cannot_say_lets_nothing_be_deleted()
    {
        _guards.Add(new Guard(null) { Failure = MemoryStore.Away() });
        await StartAsync();
        await UntilAsync(() => _time.GetUtcNow() > Now.AddHours(2));

        Assert.Empty(_upkeep.Dropped);
    }

    [Fact]
    public async Task A_store_that_is_away_is_tried_again()
    {
        _upkeep.Failure = MemoryStore.Away();
        await StartAsync();
        await UntilAsync(() => _upkeep.Calls >= 2);
        _upkeep.Failure = null;

        await UntilAsync(() => _upkeep.Packed.Count >= 1);
    }

    public void Dispose()
    {
        _loop?.Dispose();
        _gate.Dispose();
    }

    private async Task StartAsync()
    {
        _loop = new HistoryUpkeepLoop(
            _gate, _upkeep, _store, _guards, Options.Create(new HistoryOptions { RawDays = 30, QuarterHourDays = 60, HourDays = 90, DayDays = 400 }), _time,
            NullLogger<HistoryUpkeepLoop>.Instance);
        await _gate.StartAsync(Stop);
        await _loop.StartAsync(Stop);
    }

    // Time is driven here and nowhere else; the other side runs on the thread pool, so it is given turns until the state is reached.
    private async Task UntilAsync(Func<bool> reached)
    {
        for (var turn = 0; turn < 5_000 && !reached(); turn++)
        {
            _time.Advance(TimeSpan.FromSeconds(10));
            await Task.Delay(TimeSpan.FromMilliseconds(1), TimeProvider.System, Stop);
        }

        Assert.True(reached(), "The state was not reached in 14 h of driven time.");
    }

    private sealed class Guard(DateTimeOffset? needed) : IRetentionGuard
    {
        internal Exception? Failure { get; init; }

        public Task<DateTimeOffset?> EarliestNeededAsync(CancellationToken cancellationToken) =>
            Failure is null ? Task.FromResult(needed) : Task.FromException<DateTimeOffset?>(Failure);
    }

    private sealed class Upkeep : IHistoryUpkeep
    {
        internal List<DateTimeOffset> Packed { get; } = [];

        internal List<DateTimeOffset> Dropped { get; } = [];

        internal int HoursLeft { get; set; }

        internal int Calls { get; private set; }

        internal Exception? Failure { get; set; }

        public Task<int> PackAsync(DateTimeOffset before, CancellationToken cancellationToken)
        {
            Packed.Add(before);
            return Task.FromResult(HoursLeft > 0 ? HoursLeft-- : 0);
        }

        public Task DropRawAsync(DateTimeOffset before, CancellationToken cancellationToken)
        {
            Dropped.Add(before);
            return Task.CompletedTask;
        }

        public Task PrepareUntilAsync(DateTimeOffset from, DateTimeOffset until, CancellationToken cancellationToken)
        {
            Calls++;
            return Failure is null ? Task.CompletedTask : Task.FromException(Failure);
        }
    }
}
