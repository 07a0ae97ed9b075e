using System.Xml;
using System.Xml.Linq;
using PoeWatch.Domain.DesignReports;
using PoeWatch.Domain.DesignReports.Pages;
using PoeWatch.Domain.DesignReports.Texts;
using PoeWatch.Domain.PowerFlow;
using PoeWatch.TestKit.Design;

namespace PoeWatch.Domain.Tests.DesignReports;

/// <summary>The three forms as forms: whole, well formed, safe with whatever people wrote.</summary>
public sealed class DesignReportFormTests
{
    private const string Evil = "</style><script>alert(\"1\")</script> & 'it' <b>\u0007\uFFFE";
    private static readonly XNamespace Xhtml = "http://www.w3.org/1999/xhtml";

    [Fact]
    public void The_page_is_well_formed_and_needs_nothing_from_outside()
    {
        var page = Parse(PoleSwitchSite.Report());

        Assert.DoesNotContain(page.Descendants(), e => e.Name.LocalName is "script" or "link" or "img" or "iframe" or "object");
        Assert.DoesNotContain(page.Descendants().Attributes(), a => a.Name.LocalName is "style" or "src" || a.Name.LocalName.StartsWith("on", StringComparison.Ordinal));
        Assert.All(page.Descendants().Attributes("href"), a => Assert.StartsWith("#", a.Value, StringComparison.Ordinal));
        Assert.DoesNotContain("url(", page.Descendants(Xhtml + "style").Single().Value, StringComparison.Ordinal);
        Assert.Contains(page.Descendants(), e => e.Name.LocalName == "svg");
    }

    [Fact]
    public void What_people_wrote_stays_text()
    {
        var report = PoleSwitchSite.Report();
        var run = report.CableRuns[0];
        var page = Parse(report with
        {
            SiteName = Evil,
            DesignHash = Evil,
            SoftwareVersion = Evil,
            Switches = [report.Switches[0] with { SwitchId = Evil, Name = Evil + "2", PoleName = Evil }],
            Warnings = [new ReportWarning(Evil, "report", [Evil], Evil, Evil)],
            CableRuns =
            [
                run with
                {
                    CableRunId = Evil, PoleNames = [Evil], Source = run.Source with { ElementId = Evil, Name = Evil + "2" }, WorstLoadCaseName = Evil,
                    Places = [.. run.Places.Select((p, at) => at == 0 ? p with { Name = Evil, PoleName = Evil, TypeName = Evil } : p)],
                },
            ],
        });

        Assert.DoesNotContain(page.Descendants(), e => e.Name.LocalName is "script");
        Assert.Contains(page.Descendants(Xhtml + "p"), p => p.Value == Evil.Replace('\u0007', '\uFFFD').Replace('\uFFFE', '\uFFFD'));
        Assert.DoesNotContain("alert(", page.Descendants(Xhtml + "style").Single().Value, StringComparison.Ordinal);
    }

    [Fact]
    public void Text_keeps_to_a_hundred_columns_whatever_the_names_are()
    {
        var report = PoleSwitchSite.Report();
        var text = DesignReportText.Write(report with
        {
            SiteName = new string('x', 300) + "\u001b[31m",
            CableRuns = [report.CableRuns[0] with { CableRunId = new string('r', 120), PoleNames = [new string('p', 250)] }],
        });

        Assert.All(text.Split('\n'), line => Assert.True(line.Length <= 100, line));
        Assert.DoesNotContain(text, letter => char.IsControl(letter) && letter != '\n');
    }

    [Theory]
    [InlineData(true)]
    [InlineData(false)]
    public void Every_limit_of_a_run_has_its_sentence_in_every_form(bool regulated)
    {
        var report = PoleSwitchSite.Report(regulated);
        var page = Words(Parse(report));
        var text = string.Join(' ', DesignReportText.Write(report).Split([' ', '\n'], StringSplitOptions.RemoveEmptyEntries));
        var limits = report.CableRuns[0].Expected.Limits.Concat(report.CableRuns[0].Guaranteed.Limits).ToList();

        Assert.True(limits.Select(limit => limit.Kind).Distinct().Count() >= 7);
        Assert.All(limits, limit => Assert.EndsWith(".", limit.Sentence, StringComparison.Ordinal));
        Assert.All(limits, limit => Assert.Contains(limit.Sentence, text, StringComparison.Ordinal));
        Assert.All(report.CableRuns[0].Guaranteed.Limits, limit => Assert.Contains(limit.Sentence, page, StringComparison.Ordinal));
        Assert.Equal(report.CableRuns[0].Guaranteed.Binding, report.CableRuns[0].Guaranteed.Limits[0]);
    }

    public static TheoryData<LimitKind> Kinds => [.. Enum.GetValues<LimitKind>().Where(kind => kind != LimitKind.Unknown)];

    // Kinds that a later version adds are met by the same code.
    [Theory]
    [MemberData(nameof(Kinds))]
    public void A_limit_of_any_kind_is_shown_with_its_sentence(LimitKind kind)
    {
        var given = new LimitMargin(kind, "somewhere", 10, 12, "W", "a table") { IsBroken = true, Sentence = $"Sentence of {kind}." };
        var limit = ReportLimits.Of(given);
        var report = PoleSwitchSite.Report();
        var run = report.CableRuns[0];
        report = report with { CableRuns = [run with { Guaranteed = run.Guaranteed with { Limits = [.. run.Guaranteed.Limits, limit] } }] };

        Assert.Contains($"Sentence of {kind}.", Words(Parse(report)), StringComparison.Ordinal);
        Assert.Contains($"Sentence of {kind}.", DesignReportText.Write(report), StringComparison.Ordinal);
        Assert.Matches("^[a-z]+(-[a-z]+)*$", limit.Kind);
    }

    [Fact]
    public void A_run_that_cannot_be_fed_says_why_instead_of_figures()
    {
        var design = new DesignModelBuilder().Switch("quay").Port("quay:1/1", 30).DeviceType("lamp", 60).Device("lamp-1", "lamp", "gate").Cable("quay:1/1", "lamp-1", 2000, 24, 2).Build();
        var report = PoleSwitchSite.ReportOf(design);
        var run = report.CableRuns[0];

        Assert.False(run.Expected.IsFed);
        Assert.Null(run.Places[0].Expected);
        Assert.Contains(run.Expected.Reason, Words(Parse(report)), StringComparison.Ordinal);
        Assert.Contains("not fed", DesignReportText.Write(report), StringComparison.Ordinal);
        Assert.Equal(30.0, report.Totals.LoadCases[0].ExpectedDemandAtPseW);
        Assert.Equal(1, report.Totals.BrokenCount);
        Assert.Contains("\"inputW\"", System.Text.Encoding.UTF8.GetString(ReportJson.Write(PoleSwitchSite.Report())), StringComparison.Ordinal);
        Assert.DoesNotContain("NaN", System.Text.Encoding.UTF8.GetString(ReportJson.Write(report)), StringComparison.Ordinal);
    }

    private static string Words(XDocument page) => string.Join('\n', page.Descendants().Where(e => !e.HasElements).Select(e => e.Value));

    private static XDocument Parse(DesignReport report)
    {
        using var text = new StringReader(string.Concat(DesignReportPage.Pieces(report)));
        using var reader = XmlReader.Create(text, new XmlReaderSettings { DtdProcessing = DtdProcessing.Ignore });
        return XDocument.Load(reader);
    }
}
