using Microsoft.Extensions.Logging.Abstractions;
using Microsoft.Extensions.Time.Testing;
using PoeWatch.Domain.Conditions;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.Quantities;
using PoeWatch.Monitoring.Abstractions;
using PoeWatch.Monitoring.Conditions;
using PoeWatch.TestKit.Design;
using PoeWatch.TestKit.Stores;

namespace PoeWatch.Monitoring.Tests.Service;

/// <summary>What people post counts at once, until its end, over a restart, and not before it is kept.</summary>
public sealed class PostedConditionTests
{
    private readonly FakeTimeProvider _time = new(new DateTimeOffset(2026, 11, 24, 12, 0, 0, TimeSpan.Zero));
    private readonly MemoryStore _store = new();

    [Fact]
    public async Task What_is_posted_is_in_the_view_when_the_call_returns_and_ends_by_itself()
    {
        await using var life = await LifeAsync();
        await life.SayAsync("paging-all", holds: false, hours: 1.0 / 60);
        var end = life.Site.Board.On("paging-all")!.Until!.Value;
        Assert.Equal(ConditionState.DoesNotHold, life.StateOf(LoadCondition.PagingAll));
        Assert.Equal("nora", life.Conditions.ByCondition[LoadCondition.PagingAll].Source.Who);
        await life.Site.UntilAsync(() => life.StateOf(LoadCondition.PagingAll) == ConditionState.Unknown, "its time is over");
        Assert.InRange(life.Site.View.Current.Assessment.At, end, end.AddSeconds(10));
    }

    [Fact]
    public async Task What_is_posted_counts_again_after_a_restart_and_what_was_taken_back_does_not()
    {
        await using (var first = await LifeAsync())
        {
            await first.SayAsync("wet", holds: true, hours: 5);
            await first.SayAsync("motion", holds: true, hours: 5);
            Task<bool> back = first.Desk.TakeBackAsync("motion", "mira", TestContext.Current.CancellationToken);
            await first.Site.UntilAsync(() => back.IsCompleted, "taken back");
            Assert.True(await back);
            Assert.Equal(ConditionState.Unknown, first.StateOf(LoadCondition.Motion));
        }

        await using var second = await LifeAsync();
        await second.Site.UntilAsync(() => second.StateOf(LoadCondition.Wet) == ConditionState.Holds, "restored");
        Assert.Equal(ConditionState.Unknown, second.StateOf(LoadCondition.Motion));
    }

    [Fact]
    public async Task What_cannot_be_kept_does_not_count()
    {
        await using var life = await LifeAsync();
        _store.Failure = MemoryStore.Away();
        await Assert.ThrowsAsync<StoreException>(
            () => life.Desk.SayAirAsync(Temperature.FromCelsius(-3), _time.GetUtcNow().AddHours(1), "nora", "", TestContext.Current.CancellationToken));
        Assert.Null(life.Site.Board.On(ConditionNames.AirTemperature));
    }

    [Fact]
    public async Task Before_the_store_is_open_nothing_can_be_posted()
    {
        _store.Failure = MemoryStore.Away();
        await using var life = await LifeAsync(waitForStore: false);
        var refused = await Assert.ThrowsAsync<StoreException>(
            () => life.Desk.SayAsync("wet", true, _time.GetUtcNow().AddHours(1), "nora", "", TestContext.Current.CancellationToken));
        Assert.True(refused.IsTransient);
    }

    [Fact]
    public async Task Nothing_in_force_cannot_be_taken_back()
    {
        await using var life = await LifeAsync();
        Assert.False(await life.Desk.TakeBackAsync("wet", "nora", TestContext.Current.CancellationToken));
    }

    [Fact]
    public async Task The_last_word_counts_even_where_the_clock_was_stepped_back()
    {
        await using var life = await LifeAsync();
        await life.SayAsync("wet", holds: true, hours: 1);
        life.Site.Board.Say(life.Site.Board.On("wet")! with { At = _time.GetUtcNow().AddMinutes(5) });
        await life.SayAsync("wet", holds: false, hours: 1);
        Assert.Equal(ConditionState.DoesNotHold, life.StateOf(LoadCondition.Wet));
    }

    private async Task<Life> LifeAsync(bool waitForStore = true)
    {
        var site = new MonitoredSite(
            _store, _time, new DesignModelBuilder().Switch("quay-west", pollPeriod: TimeSpan.FromSeconds(10)).Port("quay-west:1/7", 30).Build());
        var life = new Life(site, _store, _time);
        await site.StartAsync();
        await life.Restorer.StartAsync(TestContext.Current.CancellationToken);
        if (waitForStore)
        {
            await site.UntilAsync(() => site.Gate.IsReady && site.View.Current.Version > 0, "the store is open");
        }

        return life;
    }

    private sealed class Life(MonitoredSite site, MemoryStore store, FakeTimeProvider time) : IAsyncDisposable
    {
        public MonitoredSite Site => site;

        public ConditionDesk Desk { get; } = new(store, site.Gate, site.Board, site.Monitor, time, NullLogger<ConditionDesk>.Instance);

        public ConditionRestorer Restorer { get; } = new(site.Gate, store, site.Board, time, NullLogger<ConditionRestorer>.Instance);

        public SiteConditions Conditions => site.View.Current.Assessment.Conditions!;

        public ConditionState StateOf(LoadCondition condition) => Conditions.StateOf(condition);

        public async Task SayAsync(string topic, bool holds, double hours)
        {
            Task<PostedCondition> said = Desk.SayAsync(topic, holds, time.GetUtcNow().AddHours(hours), "nora", "by radio", TestContext.Current.CancellationToken);
            await site.UntilAsync(() => said.IsCompleted, "an answer came");
            await said;
        }

        public async ValueTask DisposeAsync()
        {
            await Restorer.StopAsync(CancellationToken.None);
            await site.DisposeAsync();
            Restorer.Dispose();
            Desk.Dispose();
        }
    }
}
