using PoeWatch.Domain.Evidence.Reports;

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
}
