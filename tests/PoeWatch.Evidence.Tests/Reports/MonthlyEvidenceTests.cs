using PoeWatch.Domain.Evidence.Reports;
using PoeWatch.Domain.Readings;
using PoeWatch.Monitoring.Abstractions;

namespace PoeWatch.Evidence.Tests.Reports;

public sealed class MonthlyEvidenceTests
{
    private static readonly DateOnly November = new(2026, 11, 1);

    [Fact]
    public async Task A_month_has_energy_peaks_polls_alarms_designs_and_roots()
    {
        using var bench = await ExportBench.StartAsync();
        var month = (await bench.MonthAsync(November))!;
        Assert.False(month.IsOver);
        Assert.Equal(ExportBench.Start.AddMinutes(70), month.End);

        // Worked by hand: polls at minutes 2, 6, 8, 10, 14 (silent) and then every 4 up to 70. 6 and 8 hold for 2 min, every other answer for its 60 s.
        // The one at 70 lies beyond now. 12.002 + 2 x (12.006 + 12.008) + 12.010 W min, and those of 18, 22, … 66.
        var wattMinutes = 12.002 + (2 * (12.006 + 12.008)) + 12.010 + Enumerable.Range(0, 13).Sum(i => 12 + ((18 + (4 * i)) / 1000.0));
        var run = Assert.Single(month.CableRuns);
        Assert.Equal(("quay-west:1/1", "pole-1", 12.066), (run.CableRunId, run.Poles, run.PeakW));
        Assert.Equal(wattMinutes / 60, run.EnergyWattHours!.Value, 1e-5);
        Assert.Equal(100 * 19 / (month.End - month.Start).TotalMinutes, run.CoveragePercent, 1e-6);
        Assert.InRange(run.DesignDemandW!.Value, 10, 11);

        Assert.Equal(["quay-east 8 8", "quay-west 18 17"], month.Switches.Select(s => $"{s.PseId} {s.Polls} {s.Answered}"));
        Assert.Equal((1, 0), (month.Switches[1].Amendments, month.Switches[0].Amendments));
        Assert.Equal(["ack", "raised"], month.AlarmCounts.Select(c => c.Kind));
        Assert.Equal("start", Assert.Single(month.Designs).AppliedBy);
        Assert.Equal(new DateOnly(2026, 11, 25), Assert.Single(month.Roots).Day);
    }

    [Fact]
    public async Task A_design_that_came_into_force_in_mid_day_has_its_runs_from_then_on()
    {
        using var bench = await ExportBench.StartAsync(inForceFrom: ExportBench.Start.AddMinutes(17));
        var run = Assert.Single((await bench.MonthAsync(November))!.CableRuns);
        Assert.Equal(Enumerable.Range(0, 13).Sum(i => 12 + ((18 + (4 * i)) / 1000.0)) / 60, run.EnergyWattHours!.Value, 1e-5);
    }

    [Fact]
    public async Task Out_of_stored_quarter_hours_come_the_same_figures_and_the_readings_of_those_days_are_not_read()
    {
        using var bench = await ExportBench.StartAsync();
        var raw = (await bench.MonthAsync(November))!;
        await bench.RollUpAsync();
        var history = new ReadingBook(bench.Store);
        var stored = (await bench.MonthAsync(November, history))!;
        Assert.Equal(raw.CableRuns.Select(Text), stored.CableRuns.Select(Text));
        Assert.Equal(raw.Switches.AsEnumerable(), stored.Switches);
        Assert.All(history.From, from => Assert.True(from > ExportBench.Start.AddMinutes(40), $"{from:O} was read"));

        // An hour that a late reading still has to be worked into is not taken from there.
        await bench.Store.NoteLateHoursAsync([new LateHour("quay-west", ExportBench.Start.AddMinutes(-15))], TestContext.Current.CancellationToken);
        var late = new ReadingBook(bench.Store);
        Assert.Equal(raw.CableRuns.Select(Text), (await bench.MonthAsync(November, late))!.CableRuns.Select(Text));
        Assert.Contains(late.From, from => from < ExportBench.Start);

        static string Text(RunMonth cableRun) => FormattableString.Invariant(
            $"{cableRun.CableRunId} {cableRun.EnergyWattHours:0.0000} {cableRun.CoveragePercent:0.000000} {cableRun.PeakW} {cableRun.PeakAt:O}");
    }

    [Fact]
    public async Task A_day_on_which_the_design_changed_between_two_quarter_hours_bounds_is_read_from_the_readings()
    {
        using var bench = await ExportBench.StartAsync(inForceFrom: ExportBench.Start.AddMinutes(17));
        var raw = (await bench.MonthAsync(November))!;
        await bench.RollUpAsync();
        Assert.Equal(raw.CableRuns[0].EnergyWattHours!.Value, (await bench.MonthAsync(November))!.CableRuns[0].EnergyWattHours!.Value, 1e-9);
    }

    [Fact]
    public async Task The_page_shows_the_roots_in_blocks_and_escapes_what_people_wrote()
    {
        using var bench = await ExportBench.StartAsync();
        var month = (await bench.MonthAsync(November))!;
        var page = string.Concat(MonthlyEvidencePage.Pieces(month with { SiteName = "<Haven>" }));
        Assert.Contains("&lt;Haven&gt;", page, StringComparison.Ordinal);
        Assert.Contains(bench.Seals.Roots[0].Root.ToString(), page.Replace(" <br/>", "", StringComparison.Ordinal).Replace(" ", "", StringComparison.Ordinal), StringComparison.Ordinal);
        Assert.Contains("nora", page, StringComparison.Ordinal);
        System.Xml.Linq.XDocument.Parse(page.Replace("<!DOCTYPE html>", "", StringComparison.Ordinal));
    }

    [Fact]
    public async Task A_peak_above_the_design_is_marked_and_a_month_to_come_has_no_report()
    {
        using var bench = await ExportBench.StartAsync();
        var month = (await bench.MonthAsync(November))!;
        Assert.Contains("1 peak above the design", string.Concat(MonthlyEvidencePage.Pieces(month)), StringComparison.Ordinal);
        var calm = month with { CableRuns = [month.CableRuns[0] with { PeakW = 9 }] };
        Assert.Contains("no peak above its design", string.Concat(MonthlyEvidencePage.Pieces(calm)), StringComparison.Ordinal);
        Assert.Null(await bench.MonthAsync(new DateOnly(2026, 12, 1)));
    }

    /// <summary>Notes from when on readings were asked for.</summary>
    private sealed class ReadingBook(IHistoryStore store) : IHistoryStore
    {
        public List<DateTimeOffset> From { get; } = [];

        public Task PrepareAsync(CancellationToken cancellationToken) => store.PrepareAsync(cancellationToken);

        public Task AppendAsync(IReadOnlyList<SwitchReading> readings, CancellationToken cancellationToken) => store.AppendAsync(readings, cancellationToken);

        public IAsyncEnumerable<SwitchReading> ReadAsync(string pseId, DateTimeOffset from, DateTimeOffset to, CancellationToken cancellationToken)
        {
            From.Add(from);
            return store.ReadAsync(pseId, from, to, cancellationToken);
        }

        public Task<IReadOnlyList<SwitchReading>> ReadLatestAsync(CancellationToken cancellationToken) => store.ReadLatestAsync(cancellationToken);
    }
}
