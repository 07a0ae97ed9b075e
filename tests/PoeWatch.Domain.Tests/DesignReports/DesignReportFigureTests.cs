using System.Text.Json;
using PoeWatch.Domain.DesignReports;
using PoeWatch.Domain.DesignReports.Pages;
using PoeWatch.Domain.DesignReports.Texts;
using PoeWatch.TestKit.Design;

namespace PoeWatch.Domain.Tests.DesignReports;

/// <summary>The figures of a report against worked examples and against themselves.</summary>
public sealed class DesignReportFigureTests
{
    // By hand: 13.099 W and 26.515 W at the outputs, over 0.92, plus 6 W are 49.06 W at the uplink's end; 2.672 ohm at 54 V.
    [Fact]
    public void Regulated_outputs_come_to_the_worked_figures()
    {
        var run = Assert.Single(PoleSwitchSite.Report().CableRuns);
        var uplink = run.Places[0].Expected!;

        Near(49.06, uplink.InputW);
        Near(0.9535, uplink.InputA);
        Near(51.45, uplink.InputV);
        Near(2.43, uplink.SegmentLossW);
        Near(51.49, run.Expected.Balance!.SourceW);
        Near(53.39, run.Places[1].Expected!.InputV);
        Near(51.93, run.Places[2].Expected!.InputV);
        Near(54.0, run.Places[1].Expected!.FeedV);
    }

    // By hand, voltages of one tree hanging together: 47.828 W = 12.95 + 25.5 + 6 + 2.096 + 0.163 + 1.119.
    [Fact]
    public void Outputs_at_the_voltage_that_arrives_come_to_the_worked_figures()
    {
        var run = Assert.Single(PoleSwitchSite.Report(regulated: false).CableRuns);

        Near(51.634, run.Places[0].Expected!.InputV);
        Near(0.8857, run.Places[0].Expected!.InputA);
        Near(50.99, run.Places[1].Expected!.InputV);
        Near(49.46, run.Places[2].Expected!.InputV);
        Assert.Equal(47.828, run.Expected.Balance!.SourceW, 0.01);
        Assert.Equal(38.45, run.Expected.Balance.DevicesW, 0.001);
        Assert.Equal(6.0, run.Expected.Balance.OwnDrawsW, 0.001);
        Assert.Equal([2.096, 0.163, 1.119], run.Places.Select(p => Math.Round(p.Expected!.SegmentLossW, 3)));
        Assert.Equal(0.0, run.Expected.Balance.ConversionLossW, 0.001);
    }

    [Fact]
    public void The_three_forms_say_the_same_figures()
    {
        var report = PoleSwitchSite.Report();
        var (text, page) = (DesignReportText.Write(report), string.Concat(DesignReportPage.Pieces(report)));
        using var json = JsonDocument.Parse(ReportJson.Write(report));
        var uplink = json.RootElement.GetProperty("cableRuns")[0].GetProperty("places")[0].GetProperty("expected");

        foreach (var figure in new[] { "49.06", "0.9535", "51.45", "2.43", "51.49" })
        {
            Assert.Contains(figure, text, StringComparison.Ordinal);
            Assert.Contains($">{figure}<", page, StringComparison.Ordinal);
        }

        Near(49.06, uplink.GetProperty("inputW").GetDouble());
        Near(0.9535, uplink.GetProperty("inputA").GetDouble());
        Near(51.45, uplink.GetProperty("inputV").GetDouble());
        Near(2.43, uplink.GetProperty("segmentLossW").GetDouble());
        Assert.Equal("2026-11-24T09:30:00.000Z", json.RootElement.GetProperty("madeAt").GetString());
        Assert.Equal("1.2.3", json.RootElement.GetProperty("softwareVersion").GetString());
        Assert.Equal("test-design", json.RootElement.GetProperty("designHash").GetString());
    }

    // Kirchhoff: what the source gives is what devices, own draws, converters and copper take. Between neighbours the same: feeding end less input is the loss.
    [Fact]
    public void Every_run_balances_to_a_milliwatt_in_both_modes()
    {
        var report = PoleSwitchSite.ReportOf(LargeSite.Of(60));
        Assert.Equal(60, report.CableRuns.Length);
        foreach (var run in report.CableRuns)
        {
            foreach (var (figures, of) in new (RunFigures, Func<ReportPlace, PlaceFigures?>)[] { (run.Expected, p => p.Expected), (run.Guaranteed, p => p.Guaranteed) })
            {
                var balance = figures.Balance!;
                Assert.Equal(balance.SourceW, balance.DevicesW + balance.OwnDrawsW + balance.ConversionLossW + balance.CableLossW, 0.001);
                Assert.All(run.Places, place => Assert.Equal(of(place)!.SegmentLossW, (of(place)!.FeedV - of(place)!.InputV) * of(place)!.InputA, 0.001));
                Assert.Equal(balance.CableLossW, run.Places.Sum(place => of(place)!.SegmentLossW), 0.001);
                Assert.True(balance.CableLossW > 0.0);
            }

            Assert.True(run.Guaranteed.FarEndExtraW <= run.Expected.FarEndExtraW);
        }
    }

    [Fact]
    public void Group_and_site_add_the_runs_up()
    {
        var report = PoleSwitchSite.ReportOf(LargeSite.Of(30));
        var groups = report.Switches.SelectMany(pse => pse.Groups).ToList();

        Assert.Equal(2, groups.Count);
        for (var at = 0; at < report.Totals.LoadCases.Length; at++)
        {
            Assert.Equal(report.Totals.LoadCases[at].ExpectedDemandAtPseW, report.CableRuns.Sum(run => run.LoadCases[at].Expected.DemandAtPseW!.Value), 0.001);
            Assert.Equal(report.Totals.LoadCases[at].ExpectedDemandAtPseW, groups.Sum(group => group.LoadCases[at].DemandAtPseW), 0.001);
        }

        Assert.All(groups, group => Assert.Equal(group.UsableW, group.LoadCases[0].DemandAtPseW + group.LoadCases[0].MarginW, 0.001));
        Assert.Equal("winter", report.Totals.WorstLoadCaseId);
        Assert.All(groups, group => Assert.Equal(
            ("by-draw", group.LoadCases.Max(c => c.DemandAtPseW)),
            Assert.Single(group.Reserves, reserve => reserve.IsInForce) is var inForce ? (inForce.Allocation, inForce.ReserveAtPseW) : default));
        Assert.All(groups, group => Assert.Equal(group.Ports.Sum(port => port.ReserveAtPseW ?? 0.0), group.Reserves.Single(reserve => reserve.IsInForce).ReserveAtPseW, 0.001));
    }

    private static void Near(double worked, double computed) => Assert.Equal(worked, computed, worked * 0.002);
}
