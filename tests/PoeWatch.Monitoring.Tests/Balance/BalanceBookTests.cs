using System.Collections.Frozen;
using System.Collections.Immutable;
using PoeWatch.Domain.Assessment;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.EnergyBalance;
using PoeWatch.Domain.Poe;
using PoeWatch.Domain.PowerFlow;
using PoeWatch.Domain.Quantities;
using PoeWatch.Domain.Readings;
using PoeWatch.Monitoring.Balance;
using PoeWatch.TestKit.Design;
using PoeWatch.TestKit.Stores;

namespace PoeWatch.Monitoring.Tests.Balance;

/// <summary>Readings of a switch and of the pass-through switch behind it, as they come in, over days; the copper between them has 4.2 ohm.</summary>
public sealed class BalanceBookTests
{
    private const double Ohms = 4.2;
    private const double Volts = 54;
    private static readonly DateTimeOffset s_start = new(2026, 11, 2, 0, 0, 0, TimeSpan.Zero);

    private static CancellationToken Stop => TestContext.Current.CancellationToken;

    [Fact]
    public void Readings_of_both_ends_tell_the_loop_after_some_days()
    {
        var book = new BalanceBook();
        SegmentBalance balance = Play(book, Readings(0, 4 * 1440));

        Assert.Equal("", balance.WhyUnknown);
        Assert.InRange(Ohms, (balance.Loop!.Value - balance.Now!.HalfWidth!.Value).Ohms, (balance.Loop.Value + balance.Now.HalfWidth.Value).Ohms);
    }

    [Theory]
    [InlineData(Provenance.Estimated)]
    [InlineData(Provenance.ClassBound)]
    [InlineData(Provenance.ReportedByPd)]
    public void What_nobody_metered_tells_nothing(Provenance provenance)
    {
        IEnumerable<SwitchReading> readings = Readings(0, 4 * 1440).Select(r => r with { Ports = [.. r.Ports.Select(p => p.Provenance == Provenance.Off ? p : p with { Provenance = provenance })] });
        Assert.Equal(0, Play(new BalanceBook(), readings).Days);
    }

    [Fact]
    public void Silence_and_missing_outputs_tell_nothing()
    {
        Assert.Equal(0, Play(new BalanceBook(), Readings(0, 4 * 1440).Select(r => r.PseId == "pts" ? r with { Outcome = PollOutcome.Silent, Ports = [] } : r)).Days);
        Assert.Equal(0, Play(new BalanceBook(), Readings(0, 4 * 1440).Select(r => r.PseId == "pts" ? r with { Ports = r.Ports.RemoveAt(0) } : r)).Days);
    }

    [Fact]
    public void The_steps_that_agents_state_count()
    {
        SegmentBalance balance = Play(new BalanceBook(), Readings(0, 2000).Select(r => r with { Ports = [.. r.Ports.Select(p => p with { Resolution = Power.FromWatts(r.PseId == "pts" ? 0.5 : 0.01) })] }));
        Assert.Equal(0.5, balance.Step.Watts);
    }

    [Fact]
    public async Task A_restart_forgets_no_loop()
    {
        SwitchReading[] all = [.. Readings(0, 16 * 1440)];
        DateTimeOffset cut = s_start.AddDays(9).AddHours(13);
        var store = new MemoryStore();
        await store.AppendAsync([.. all.Where(r => r.At < cut)], Stop);

        var again = new BalanceBook();
        Play(again, all.Where(r => r.At >= cut && r.At < cut.AddHours(1)));
        again.Recall(await BalanceHistory.ReadAsync(store, s_design, s_start.AddDays(-30), cut, Stop));
        SegmentBalance after = Play(again, all.Where(r => r.At >= cut.AddHours(1)));

        SegmentBalance whole = Play(new BalanceBook(), all);
        Assert.Equal((whole.Days, whole.EarlierFrom, whole.EarlierTo), (after.Days, after.EarlierFrom, after.EarlierTo));
        Assert.Equal(whole.Loop!.Value.Ohms, after.Loop!.Value.Ohms, whole.Now!.Scatter!.Value.Ohms / 4);
        Assert.Equal(whole.Earlier!.Loop!.Value.Ohms, after.Earlier!.Loop!.Value.Ohms, whole.Earlier.Scatter!.Value.Ohms / 4);
    }

    [Fact]
    public void A_new_design_keeps_what_is_known_of_a_segment_between_the_same_ends_and_drops_what_it_no_longer_has()
    {
        var book = new BalanceBook();
        SwitchReading[] all = [.. Readings(0, 4 * 1440)];
        Play(book, all);

        NetworkSnapshot last = Snapshot(all[^2..], all[^1].At);
        SegmentBalance kept = Assert.Single(book.Note(Design(80), last));
        Assert.Equal((3, CableResistance.Of(Design(80).CableRuns.Values.First().Root.Incoming, OperatingMode.Expected)), (kept.Days, kept.Segment.Designed));
        Assert.Empty(book.Note(Design(80, isManaged: false), last));
    }

    private static readonly DesignModel s_design = Design(100);

    private static DesignModel Design(double meters, bool isManaged = true) => new DesignModelBuilder().DeviceType("camera", 9)
        .Switch("quay-west", 200).Port("quay-west:1/1", 90, type: PoeType.Type4, grantable: PoeClass.Class8)
        .PassThrough("pts", managed: isManaged).Device("cam-1", "camera").Device("cam-2", "camera")
        .Cable("quay-west:1/1", "pts", meters).Cable("pts:1", "cam-1").Cable("pts:2", "cam-2").Build();

    private static SegmentBalance Play(BalanceBook book, IEnumerable<SwitchReading> readings)
    {
        ImmutableArray<SegmentBalance> known = [];
        var latest = new Dictionary<string, SwitchReading>();
        foreach (SwitchReading reading in readings)
        {
            latest[reading.PseId] = reading;
            known = book.Note(s_design, Snapshot(latest.Values, reading.At));
        }

        return Assert.Single(known);
    }

    private static NetworkSnapshot Snapshot(IEnumerable<SwitchReading> latest, DateTimeOffset at)
    {
        FrozenDictionary<string, SwitchReading> byPse = latest.ToFrozenDictionary(r => r.PseId);
        return new NetworkSnapshot(at, byPse, byPse);
    }

    /// <summary>Both agents once a minute, the far one 20 s later; loads of 5 to 28 W that change every ten minutes or so, meters in steps of 0.1 W, a converter of 92 % that takes 5 W itself.</summary>
    private static IEnumerable<SwitchReading> Readings(int from, int to)
    {
        var chance = new Random(4);
        var load = 10.0;
        for (var minute = from; minute < to; minute++)
        {
            load = chance.NextDouble() < 0.1 ? 5 + (23 * chance.NextDouble()) : load;
            DateTimeOffset at = s_start.AddMinutes(minute);
            var atPse = Volts * Amperes(5 + (load / 0.92));
            yield return new SwitchReading("quay-west", 1, at, PollOutcome.Answered, "", null, [SnapshotBuilder.Delivering("quay-west:1/1", Rounded(atPse))], []);
            yield return new SwitchReading(
                "pts", 1, at.AddSeconds(20), PollOutcome.Answered, "", null,
                [SnapshotBuilder.Delivering("pts:1", Rounded(load / 2)), SnapshotBuilder.Delivering("pts:2", Rounded(load / 2)), SnapshotBuilder.Off("pts:3"), SnapshotBuilder.Off("pts:4")], []);
        }
    }

    // Of the two roots of R i² - V i + P = 0 the smaller one is the one that settles.
    private static double Amperes(double watts) => (Volts - Math.Sqrt((Volts * Volts) - (4 * Ohms * watts))) / (2 * Ohms);

    private static double Rounded(double watts) => Math.Round(watts, 1);
}
