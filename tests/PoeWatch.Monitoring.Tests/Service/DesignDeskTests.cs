using Microsoft.Extensions.Logging.Abstractions;
using Microsoft.Extensions.Time.Testing;
using PoeWatch.Domain.Design;
using PoeWatch.Monitoring.Abstractions;
using PoeWatch.Monitoring.Service;
using PoeWatch.TestKit.Design;
using PoeWatch.TestKit.Stores;

namespace PoeWatch.Monitoring.Tests.Service;

public class DesignDeskTests
{
    private readonly FakeTimeProvider _time = new(new DateTimeOffset(2026, 11, 24, 12, 0, 0, TimeSpan.Zero));
    private readonly MemoryStore _store = new();

    [Fact]
    public async Task A_caller_that_goes_away_once_the_design_is_kept_does_not_keep_it_out_of_force()
    {
        await using var site = new MonitoredSite(_store, _time, Design("first"));
        await site.StartAsync();
        await site.UntilAsync(() => site.Gate.IsReady, "the store is open");
        using var caller = new CancellationTokenSource();
        var desk = new DesignDesk(
            new SentDesign(Design("second")), new LeavingCaller(_store, caller), site.Gate, site.Monitor, _time, NullLogger<DesignDesk>.Instance);

        Task<DesignApplyResult> applied = desk.ApplyAsync("a design", "mira", caller.Token);
        await site.UntilAsync(() => applied.IsCompleted, "an answer came");

        Assert.Equal("second", (await _store.ReadDesignsAsync(TestContext.Current.CancellationToken))[^1].Hash);
        Assert.Equal("second", site.View.Current.Design.Hash);
    }

    private static DesignModel Design(string hash) =>
        new DesignModelBuilder().Hash(hash).Switch("quay-west", pollPeriod: TimeSpan.FromSeconds(10)).Port("quay-west:1/7", 30).Build();

    private sealed class SentDesign(DesignModel model) : IDesignSource
    {
        public DesignReading Read() => Parse("", "");

        public DesignReading Parse(string text, string name) => new(model, [], text);
    }

    /// <summary>The connection breaks as soon as the design is written.</summary>
    private sealed class LeavingCaller(MemoryStore store, CancellationTokenSource caller) : IDesignStore
    {
        public async Task SaveDesignAsync(DesignVersion version, CancellationToken cancellationToken)
        {
            await store.SaveDesignAsync(version, cancellationToken);
            await caller.CancelAsync();
        }

        public Task<IReadOnlyList<DesignVersion>> ReadDesignsAsync(CancellationToken cancellationToken) => store.ReadDesignsAsync(cancellationToken);
    }
}
