using PoeWatch.Domain.Design;
using PoeWatch.Domain.DesignReports;
using PoeWatch.Domain.DesignReports.Pages;
using PoeWatch.Domain.DesignReports.Texts;
using PoeWatch.Domain.Poe;
using PoeWatch.Domain.Quantities;
using PoeWatch.TestKit.Design;

namespace PoeWatch.Domain.Tests.DesignReports;

/// <summary>What a report holds, what it warns of, and how large it gets.</summary>
public sealed class DesignReportBuilderTests
{
    // Class 8 of the class table (Ethernet Alliance overview): 90 W at the PSE are 71.3 W at the PD.
    [Fact]
    public void A_nameplate_of_95_W_is_told_as_what_is_guaranteed_at_the_far_end()
    {
        var warning = Assert.Single(PoleSwitchSite.Report().Warnings, w => w.Code == "nameplate");

        Assert.StartsWith("A nameplate of 95 W is 71.3 W guaranteed at the far end", warning.Message, StringComparison.Ordinal);
        Assert.Equal(["quay:1/1"], warning.Elements);
    }

    [Fact]
    public void What_the_figures_show_is_warned_of_once_with_all_its_places()
    {
        var design = new DesignModelBuilder()
            .Switch("quay", supplies: new Supply("a", Power.FromWatts(100)))
            .Port("quay:1/1", 60, PoeType.Type3, PoeClass.Class6, new PlannedUpgrade(Power.FromWatts(90), new DateOnly(2026, 11, 1)))
            .Injector("inj")
            .DeviceType("ptz", 40, PoeClass.Class8).DeviceType("camera", 9, PoeClass.Class3)
            .Device("ptz-1", "ptz", "gate").Device("cam-1", "camera", "weir").Cable("quay:1/1", "ptz-1", 95).Cable("inj", "cam-1", 99, awg: 26).Build();
        var warnings = PoleSwitchSite.ReportOf(design).Warnings.DistinctBy(w => w.Code).ToDictionary(w => w.Code);

        Assert.Equal(2, warnings["segment-near-limit"].Elements.Length);
        Assert.Single(warnings["thin-conductor"].Elements);
        Assert.Equal(["inj"], warnings["unmetered"].Elements);
        Assert.Equal(["ptz-1"], warnings["class-not-granted"].Elements);
        Assert.Contains("One supply", warnings["no-redundancy"].Message, StringComparison.Ordinal);
        Assert.Contains("overdue since 2026-11-01", warnings["upgrade-due"].Message, StringComparison.Ordinal);
        Assert.All(warnings.Values, w => Assert.False(string.IsNullOrWhiteSpace(w.Remedy)));
    }

    [Fact]
    public void Figures_from_memory_are_marked_and_cautions_stand_in_every_report()
    {
        var report = PoleSwitchSite.Report();

        Assert.Contains(report.Assumptions, a => a is { Topic: "Copper", IsFromMemory: true });
        Assert.All(report.Assumptions, a => Assert.Equal(a.IsFromMemory, a.Text.Contains("from memory", StringComparison.Ordinal)));
        Assert.Contains(report.Cautions, c => c.Contains("life-safety", StringComparison.Ordinal));
        Assert.Contains(report.Cautions, c => c.Contains("qualified persons", StringComparison.Ordinal));
        Assert.Contains(report.Cautions, c => c.Contains("height", StringComparison.Ordinal));
        Assert.Contains(report.Cautions, c => c.Contains("earthing", StringComparison.Ordinal));
    }

    [Fact]
    public void One_run_comes_with_its_group_and_the_totals_of_the_site()
    {
        var design = LargeSite.Of(50);
        var all = PoleSwitchSite.ReportOf(design);
        var one = PoleSwitchSite.ReportOf(design, "switch-2:1/3");

        Assert.Equal("switch-2:1/3", Assert.Single(one.CableRuns).CableRunId);
        Assert.Equal("switch-2:1", Assert.Single(Assert.Single(one.Switches).Groups).GroupId);
        Assert.Equal(all.Totals.LoadCases, one.Totals.LoadCases);
        Assert.Contains("Run switch-2:1/3 and its group only", DesignReportText.Write(one), StringComparison.Ordinal);
    }

    [Fact]
    public void A_run_that_is_not_there_is_refused() =>
        Assert.Contains("'nowhere'", Assert.Throws<ArgumentException>(() => PoleSwitchSite.ReportOf(LargeSite.Of(1), "nowhere")).Message, StringComparison.Ordinal);

    [Fact]
    public void A_report_that_nobody_waits_for_any_more_is_given_up() =>
        Assert.Throws<OperationCanceledException>(() => DesignReportBuilder.Build(LargeSite.Of(3), PoleSwitchSite.Day, "1", null, new CancellationToken(canceled: true)));

    // 16 MB is what a browser opens without trouble; pieces are what a server holds at once.
    [Fact]
    public void A_site_of_500_poles_stays_within_bounds()
    {
        var report = PoleSwitchSite.ReportOf(LargeSite.Of(500));
        var (text, page) = (DesignReportText.Pieces(report).ToList(), DesignReportPage.Pieces(report).ToList());
        var json = ReportJson.Write(report);
        TestContext.Current.SendDiagnosticMessage($"500 poles: text {text.Sum(p => p.Length)}, page {page.Sum(p => p.Length)}, JSON {json.Length}");

        Assert.Equal(500, report.CableRuns.Length);
        Assert.All([text.Sum(p => p.Length), page.Sum(p => p.Length), json.Length], size => Assert.InRange(size, 1_000_000, 16_000_000));
        Assert.All(text.Concat(page), piece => Assert.InRange(piece.Length, 1, 300_000));
    }
}
