using System.Text;
using System.Text.Json;
using System.Text.RegularExpressions;
using PoeWatch.Acceptance.Tests.Support;

namespace PoeWatch.Acceptance.Tests.Designs;

/// <summary>The report of a design from the command line, and its page as a browser prints it.</summary>
public sealed partial class ReportTests
{
    private static readonly string Example = Path.Combine(Service.RepositoryRoot, "config", "examples", "pass-through-chain.yaml");

    [Fact]
    public async Task The_page_is_printed_by_a_browser_with_a_sheet_for_each_switch_and_run()
    {
        using var folder = new WorkFolder();
        var (code, output) = await Service.RunAsync("report", Example, "--format", "page", "--out", folder.At("report.html"));
        Assert.True(code == 0, output);
        var page = await File.ReadAllTextAsync(folder.At("report.html"), TestContext.Current.CancellationToken);
        Assert.Contains("Run lock:1/2: Lock gate, Weir", page, StringComparison.Ordinal);
        Assert.Contains("A nameplate of 95 W is 71.3 W guaranteed", page, StringComparison.Ordinal);

        var chromium = OutsideProgram.Find(File.Exists("/usr/bin/chromium-browser") ? "chromium-browser" : "chromium", "chromium");
        await using var browser = OutsideProgram.Start(
            chromium,
            [
                "--headless", "--no-sandbox", "--disable-gpu", "--disable-background-networking", "--no-pdf-header-footer", $"--user-data-dir={folder.At("profile")}",
                $"--print-to-pdf={folder.At("report.pdf")}", folder.At("report.html"),
            ]);
        Assert.True(await browser.ExitAsync() == 0, browser.Output);

        // The site, one switch, one run, the tables: each begins a page of its own.
        var pdf = Encoding.Latin1.GetString(await File.ReadAllBytesAsync(folder.At("report.pdf"), TestContext.Current.CancellationToken));
        Assert.InRange(PdfPage().Count(pdf), 4, 8);
    }

    [Fact]
    public async Task Text_and_JSON_are_written_and_an_existing_file_is_left_alone()
    {
        using var folder = new WorkFolder();
        foreach (var format in new[] { "text", "json" })
        {
            var (code, output) = await Service.RunAsync("report", Example, "--format", format, "--run", "lock:1/2", "--out", folder.At(format));
            Assert.True(code == 0, output);
        }

        var text = await File.ReadAllTextAsync(folder.At("text"), TestContext.Current.CancellationToken);
        Assert.Contains("RUN lock:1/2", text, StringComparison.Ordinal);
        using var json = JsonDocument.Parse(await File.ReadAllTextAsync(folder.At("json"), TestContext.Current.CancellationToken));
        Assert.Equal("lock:1/2", json.RootElement.GetProperty("onlyCableRunId").GetString());

        var (again, refusal) = await Service.RunAsync("report", Example, "--out", folder.At("text"));
        Assert.True(again == 3, refusal);
        Assert.Contains("--out", refusal, StringComparison.Ordinal);
        Assert.Equal(text, await File.ReadAllTextAsync(folder.At("text"), TestContext.Current.CancellationToken));
    }

    [Fact]
    public async Task A_refused_design_and_a_run_that_is_not_there_end_with_2()
    {
        using var folder = new WorkFolder();
        var (code, output) = await Service.RunAsync("report", folder.Write("slipway.yaml", TwelveFaults.Text));
        Assert.True(code == 2, output);
        Assert.Equal(TwelveFaults.Marks, DesignTests.Named(output));

        (code, output) = await Service.RunAsync("report", Example, "--run", "nowhere");
        Assert.True(code == 2, output);
        Assert.Contains("'nowhere'", output, StringComparison.Ordinal);
    }

    [GeneratedRegex(@"/Type\s*/Page\b(?!s)")]
    private static partial Regex PdfPage();
}
