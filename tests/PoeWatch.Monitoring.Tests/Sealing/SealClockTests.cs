using PoeWatch.Domain.Evidence.Seals;
using PoeWatch.Monitoring.Sealing;
using PoeWatch.Monitoring.Tests.Service;
using PoeWatch.TestKit.Design;
using PoeWatch.TestKit.Stores;

namespace PoeWatch.Monitoring.Tests.Sealing;

/// <summary>A clock that is set far ahead by mistake seals nothing of the hours to come.</summary>
public sealed class SealClockTests
{
    private static readonly DateTimeOffset s_start = new(2026, 11, 25, 10, 0, 0, TimeSpan.Zero);

    private readonly TwoClocks _time = new(s_start);

    private static CancellationToken Token => TestContext.Current.CancellationToken;

    [Fact]
    public void Time_that_passes_and_small_steps_are_believed_at_once()
    {
        var clock = new SealClock(_time);
        foreach (var seconds in new[] { 0, 10, 59, -30, -3600, 20 })
        {
            _time.Pass(TimeSpan.FromMinutes(7));
            _time.Step(TimeSpan.FromSeconds(seconds));
            Assert.Equal(_time.GetUtcNow(), clock.Read());
            Assert.Equal(TimeSpan.Zero, clock.Ahead);
        }
    }

    [Fact]
    public void A_step_forward_counts_once_the_clock_has_stood_by_it()
    {
        var clock = new SealClock(_time);
        clock.Read();
        _time.Step(TimeSpan.FromHours(5));
        Assert.Equal(s_start, clock.Read());
        Assert.Equal(TimeSpan.FromHours(5), clock.Ahead);
        Pass(clock, 14.5);
        Assert.Equal(s_start.AddMinutes(14.5), clock.Read());
        Pass(clock, 1);
        Assert.Equal(s_start.AddHours(5).AddMinutes(15.5), clock.Read());
        Assert.Equal(TimeSpan.Zero, clock.Ahead);
    }

    [Fact]
    public void A_step_that_is_taken_back_never_counted_and_another_one_begins_anew()
    {
        var clock = new SealClock(_time);
        clock.Read();
        _time.Step(TimeSpan.FromDays(365));
        Pass(clock, 10);
        _time.Step(TimeSpan.FromDays(-365));
        Assert.Equal(s_start.AddMinutes(10), clock.Read());

        _time.Step(TimeSpan.FromDays(2));
        Pass(clock, 10);
        _time.Step(TimeSpan.FromDays(1));
        Pass(clock, 14);
        Assert.Equal(s_start.AddMinutes(34), clock.Read());
        Pass(clock, 2);
        Assert.Equal(s_start.AddDays(3).AddMinutes(36), clock.Read());
    }

    [Theory]
    [InlineData(0.9, true)]
    [InlineData(1.1, false)]
    [InlineData(72, false)]
    public void Longer_time_away_counts_as_a_step(double hours, bool isBelieved)
    {
        var clock = new SealClock(_time);
        clock.Begin(s_start.AddHours(-hours));
        Assert.Equal(isBelieved ? s_start : s_start.AddHours(-hours), clock.Read());
        Pass(clock, 16);
        Assert.Equal(s_start.AddMinutes(16), clock.Read());
    }

    [Fact]
    public async Task A_clock_a_year_ahead_for_some_minutes_seals_no_quarter_hour_to_come()
    {
        var (store, seals, design) = (new MemoryStore(), new MemorySeals(), new DesignModelBuilder().Switch("quay-west").Build());
        using var bench = new SealBench(store, seals, _time, design, EvidenceSigner.None);
        await PassAsync(bench, 40);
        Assert.Equal(3, seals.Leaves.Count);
        _time.Step(TimeSpan.FromDays(365));
        await PassAsync(bench, 14);
        Assert.Equal(4, seals.Leaves.Count);
        _time.Step(TimeSpan.FromDays(-365));
        await PassAsync(bench, 40);
        Assert.Equal(
            Enumerable.Range(-1, seals.Leaves.Count).Select(n => s_start.AddMinutes(15 * n)), seals.Leaves.Select(l => l.Start));
        Assert.Equal(s_start.AddMinutes(60), seals.Leaves[^1].Start);

        // A step that stays is believed, and every quarter-hour up to it has its seal.
        _time.Step(TimeSpan.FromHours(3));
        await PassAsync(bench, 21);
        Assert.Equal(SealInterval.StartOf(_time.GetUtcNow().AddMinutes(-20)), seals.Leaves[^1].Start);
        Assert.Equal(Enumerable.Range(-1, seals.Leaves.Count).Select(n => s_start.AddMinutes(15 * n)), seals.Leaves.Select(l => l.Start));
    }

    [Fact]
    public async Task After_a_day_away_sealing_waits_for_the_clock_to_stand()
    {
        var (store, seals, design) = (new MemoryStore(), new MemorySeals(), new DesignModelBuilder().Switch("quay-west").Build());
        using (var before = new SealBench(store, seals, _time, design, EvidenceSigner.None))
        {
            await PassAsync(before, 21);
        }

        _time.Pass(TimeSpan.FromDays(1));
        using var bench = new SealBench(store, seals, _time, design, EvidenceSigner.None);
        await PassAsync(bench, 14);
        Assert.Equal(2, seals.Leaves.Count);
        await PassAsync(bench, 3);
        Assert.Equal(2 + 96 + 1, seals.Leaves.Count);
    }

    private void Pass(SealClock clock, double minutes)
    {
        clock.Read();
        _time.Pass(TimeSpan.FromMinutes(minutes));
    }

    private async Task PassAsync(SealBench bench, int minutes)
    {
        for (var minute = 0; minute < minutes; minute++)
        {
            await bench.Keeper.SealDueAsync(Token);
            _time.Pass(TimeSpan.FromMinutes(1));
        }

        await bench.Keeper.SealDueAsync(Token);
    }
}
