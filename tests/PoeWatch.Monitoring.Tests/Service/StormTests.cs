using System.Collections.Immutable;
using Microsoft.Extensions.Time.Testing;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.Poe;
using PoeWatch.Domain.Readings;
using PoeWatch.TestKit.Design;
using PoeWatch.TestKit.Stores;

namespace PoeWatch.Monitoring.Tests.Service;

/// <summary>
/// What makes storms elsewhere, through polling, assessment and alarms: a dead fibre, a cold start, another design. Forty cameras behind two switches one after the other
/// behind a third, polled every ten seconds.
/// </summary>
public sealed class StormTests
{
    private const int PortsOfSwitch = 20;
    private const double UsualWatts = 10;

    private readonly FakeTimeProvider _time = new(new DateTimeOffset(2026, 11, 24, 12, 0, 0, TimeSpan.Zero));
    private readonly MemoryStore _store = new();

    private DateTimeOffset _mainsSince = DateTimeOffset.MinValue;

    private static CancellationToken Stop => TestContext.Current.CancellationToken;

    [Fact]
    public async Task A_dead_fibre_before_forty_devices_is_one_alarm()
    {
        await using MonitoredSite site = await StartAsync();
        await PassAsync(site, TimeSpan.FromMinutes(3));
        Assert.Empty(_store.Changes);

        site.Answers = pse => pse == "root" ? Reading(pse) : null;
        await PassAsync(site, TimeSpan.FromMinutes(20));
        Assert.Equal("switch/far-1 switch-silent raised", Assert.Single(Told));

        site.Answers = Reading;
        await PassAsync(site, TimeSpan.FromMinutes(10));
        Assert.Equal(["switch/far-1 switch-silent raised", "switch/far-1 switch-silent cleared"], Told);
    }

    // Ports come on one after the other over three minutes; each device boots for 90 s with a quarter more than it draws later. Common practice, no source.
    [Fact]
    public async Task A_cold_start_of_the_whole_site_is_one_alarm_and_its_end()
    {
        await using MonitoredSite site = await StartAsync();
        await PassAsync(site, TimeSpan.FromMinutes(3));

        site.Answers = _ => null;
        await PassAsync(site, TimeSpan.FromMinutes(15));
        _mainsSince = _time.GetUtcNow();
        site.Answers = Reading;
        await PassAsync(site, TimeSpan.FromMinutes(20));

        Assert.Equal(["switch/root switch-silent raised", "switch/root switch-silent cleared"], Told);
    }

    [Fact]
    public async Task A_device_that_boots_with_a_quarter_more_is_no_alarm_and_one_that_goes_on_with_it_is()
    {
        await using MonitoredSite site = await StartAsync();
        await PassAsync(site, TimeSpan.FromMinutes(2));
        DateTimeOffset away = _time.GetUtcNow();
        site.Answers = pse => Reading(pse, port => port != 3 || pse != "far-1" ? null
            : _time.GetUtcNow() - away < TimeSpan.FromSeconds(20) ? 0
            : _time.GetUtcNow() - away < TimeSpan.FromSeconds(110) ? UsualWatts * 1.25
            : null);
        await PassAsync(site, TimeSpan.FromMinutes(10));
        Assert.Empty(_store.Changes);

        site.Answers = pse => Reading(pse, port => port == 3 && pse == "far-1" ? UsualWatts * 1.25 : null);
        await PassAsync(site, TimeSpan.FromMinutes(2));
        Assert.Equal("port/far-1:1/3 draw-above-design raised", Assert.Single(Told));
    }

    [Fact]
    public async Task Another_design_over_a_network_that_stays_as_it_is_raises_nothing_and_repeats_nothing()
    {
        await using MonitoredSite site = await StartAsync();
        site.Answers = pse => pse == "far-2" ? null : Reading(pse);
        await PassAsync(site, TimeSpan.FromMinutes(5));
        Assert.Equal("switch/far-2 switch-silent raised", Assert.Single(Told));

        // A fourth switch with twenty cameras; it answers.
        await UseAsync(site, Design("more", "far-1", "far-2", "far-3"));
        await PassAsync(site, TimeSpan.FromMinutes(10));
        Assert.Single(_store.Changes);

        // Back again: what the design no longer has is gone without a word.
        await UseAsync(site, Design("less", "far-1", "far-2"));
        await PassAsync(site, TimeSpan.FromMinutes(5));
        Assert.Single(_store.Changes);
    }

    private List<string> Told => [.. _store.Changes.Select(c => $"{c.Key.Resource} {c.Key.Type} {c.Kind}")];

    private static DesignModel Design(string hash, params string[] far)
    {
        var design = new DesignModelBuilder().Hash(hash).DeviceType("camera", UsualWatts, PoeClass.Class4).Switch("root", pollPeriod: TimeSpan.FromSeconds(10));
        foreach (var (pse, before) in far.Zip(far.Prepend("root")))
        {
            design.Switch(pse, uplinkTo: before, pollPeriod: TimeSpan.FromSeconds(10));
            for (var port = 1; port <= PortsOfSwitch; port++)
            {
                design.Port($"{pse}:1/{port}").Device($"cam-{pse}-{port}", "camera", $"pole-{pse}-{port}", port == 1 ? Criticality.Critical : Criticality.Low).Cable($"{pse}:1/{port}", $"cam-{pse}-{port}", 40);
            }
        }

        return design.Build();
    }

    private static async Task UseAsync(MonitoredSite site, DesignModel design)
    {
        Task applied = site.Monitor.UseDesignAsync(design, Stop);
        await site.UntilAsync(() => applied.IsCompleted && site.View.Current.Design.Hash == design.Hash, "the design is in force");
    }

    private async Task PassAsync(MonitoredSite site, TimeSpan time)
    {
        // A second at once: the monitor takes a look a second anyway. Where it lags, as on a busy machine, time waits for it, a while: it may itself wait for time.
        var (seen, looks) = (site.View.Current.Version, 0);
        for (var second = 0; second < time.TotalSeconds; second++)
        {
            _time.Advance(TimeSpan.FromSeconds(1));
            await Task.Yield();
            looks++;
            for (var wait = 0; wait < 20 && looks > 3 && site.View.Current.Version == seen; wait++)
            {
                await Task.Delay(TimeSpan.FromMilliseconds(1), TimeProvider.System, Stop);
            }

            (seen, looks) = site.View.Current.Version == seen ? (seen, looks) : (site.View.Current.Version, 0);
        }
    }

    private SwitchReading Reading(string pse) => Reading(pse, _ => null);

    /// <param name="instead">Watts of a port instead of its own; 0 where nothing is fed; null where it is as ever.</param>
    private SwitchReading Reading(string pse, Func<int, double?> instead)
    {
        DateTimeOffset now = _time.GetUtcNow();
        var up = now - _mainsSince;
        var ports = pse == "root" ? [] : Enumerable.Range(1, PortsOfSwitch).Select(port => Port(pse, port, instead(port) ?? Watts(up - TimeSpan.FromSeconds(9 * port)))).ToImmutableArray();
        return new SwitchReading(pse, 0, now, PollOutcome.Answered, "", up < TimeSpan.FromDays(100) ? up : TimeSpan.FromDays(100), ports, []);
    }

    private static double Watts(TimeSpan on) => on < TimeSpan.Zero ? 0 : on < TimeSpan.FromSeconds(90) ? UsualWatts * 1.25 : UsualWatts;

    private static PortReading Port(string pse, int port, double watts) =>
        watts > 0 ? SnapshotBuilder.Delivering($"{pse}:1/{port}", watts, assigned: PoeClass.Class4) : SnapshotBuilder.Off($"{pse}:1/{port}");

    private async Task<MonitoredSite> StartAsync()
    {
        var site = new MonitoredSite(_store, _time, Design("forty", "far-1", "far-2")) { Answers = Reading };
        await site.StartAsync();
        return site;
    }
}
