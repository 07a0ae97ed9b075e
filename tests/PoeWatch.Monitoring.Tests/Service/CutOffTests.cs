using System.Collections.Immutable;
using Microsoft.Extensions.Time.Testing;
using PoeWatch.Domain.Alarms;
using PoeWatch.TestKit.Design;
using PoeWatch.TestKit.Stores;

namespace PoeWatch.Monitoring.Tests.Service;

/// <summary>A dead fibre with forty cabinets behind it: one cause, asked after rarely, and over within moments when the fibre is back.</summary>
public sealed class CutOffTests
{
    private const int Cabinets = 40;
    private readonly FakeTimeProvider _time = new(new DateTimeOffset(2026, 11, 24, 12, 0, 0, TimeSpan.Zero));

    private static IEnumerable<string> CabinetIds => Enumerable.Range(1, Cabinets).Select(i => FormattableString.Invariant($"cabinet-{i:00}"));

    private static ImmutableDictionary<string, double> Everybody => CabinetIds.Append("core").Append("ring").ToImmutableDictionary(id => id + ":1/1", _ => 5.0);

    [Fact]
    public async Task Forty_cabinets_behind_a_dead_fibre_are_one_alarm_for_as_long_as_it_lasts()
    {
        DesignModelBuilder design = new DesignModelBuilder().Switch("core", pollPeriod: TimeSpan.FromMinutes(1)).Switch("ring", uplinkTo: "core", pollPeriod: TimeSpan.FromMinutes(1));
        foreach (var id in CabinetIds)
        {
            design = design.Switch(id, uplinkTo: "ring", pollPeriod: TimeSpan.FromMinutes(1));
        }

        await using var site = new MonitoredSite(new MemoryStore(), _time, design.Build());
        site.WattsByPort = Everybody;
        await site.StartAsync();
        await site.UntilAsync(() => Silent(site) == 0 && site.Polls >= Cabinets + 2, "all answer");

        site.WattsByPort = Everybody.Where(p => p.Key.StartsWith("core", StringComparison.Ordinal)).ToImmutableDictionary();
        await site.UntilAsync(() => SilentAlarms(site).Any() && site.View.Current.Assessment.Agents.Values.Count(a => a.SilentBecauseOf == "ring") == Cabinets, "the fibre is found dead");
        DateTimeOffset dead = _time.GetUtcNow();
        var polls = site.Polls;
        await site.UntilAsync(
            () =>
            {
                Assert.Equal(["switch/ring"], SilentAlarms(site));
                return _time.GetUtcNow() - dead > TimeSpan.FromMinutes(12);
            },
            "twelve minutes pass",
            TimeSpan.FromMinutes(15));

        // Three rounds of one request at most in place of twelve polls each; the core goes on, the ring is backed off from.
        Assert.InRange(site.Polls - polls, Cabinets * 2, (Cabinets * 3) + 24);
        Assert.Equal(Cabinets, site.View.Current.Assessment.Agents.Values.Count(a => a.SilentBecauseOf == "ring"));

        site.WattsByPort = Everybody;
        await site.UntilAsync(() => Silent(site) <= Cabinets, "the ring answers");
        DateTimeOffset back = _time.GetUtcNow();
        await site.UntilAsync(() => Silent(site) == 0, "all answer again");

        // Within the time that the loops take to step, not within a period.
        Assert.InRange((_time.GetUtcNow() - back).TotalSeconds, 0, 10);
        await site.UntilAsync(() => !SilentAlarms(site).Any(), "the alarm is cleared");
    }

    private static IEnumerable<string> SilentAlarms(MonitoredSite site) =>
        site.View.Current.Alarms.Where(a => a.Key.Type == AlarmTypes.SwitchSilent && !a.IsCleared).Select(a => a.Key.Resource);

    private static int Silent(MonitoredSite site) =>
        site.View.Current.Assessment.Agents.Values.Count(a => a.Outcome != PoeWatch.Domain.Readings.PollOutcome.Answered);
}
