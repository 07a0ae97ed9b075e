using Microsoft.Playwright;
using PoeWatch.Acceptance.Tests.Support;

namespace PoeWatch.Acceptance.Tests.Dashboard;

/// <summary>
/// A demo with its dashboard open in Chromium from the distribution; Playwright's own browsers are never fetched. Whatever the page writes
/// to its console as an error, throws, or asks of another machine is noted.
/// </summary>
internal sealed class DemoInBrowser : IAsyncDisposable
{
    private static readonly string[] Flags =
    [
        "--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
        "--disable-component-update", "--disable-sync",
    ];

    private readonly WorkFolder _folder;
    private readonly IPlaywright _playwright;
    private readonly IBrowser _browser;
    private readonly List<string> _troubles = [];

    private DemoInBrowser(WorkFolder folder, Service demo, IPlaywright playwright, IBrowser browser) =>
        (_folder, Demo, _playwright, _browser) = (folder, demo, playwright, browser);

    public Service Demo { get; }

    public static async Task<DemoInBrowser> StartAsync(params string[] more)
    {
        var chromium = OutsideProgram.Find(File.Exists("/usr/bin/chromium-browser") ? "chromium-browser" : "chromium", "chromium");
        var folder = new WorkFolder();
        Service? demo = null;
        IPlaywright? playwright = null;
        try
        {
            demo = await Service.ServingAsync(["demo", "--port", "0", "--data", folder.At("data"), .. more]);
            playwright = await Playwright.CreateAsync();
            Assertions.SetDefaultExpectTimeout((float)Eventually.Within.TotalMilliseconds);
            var browser = await playwright.Chromium.LaunchAsync(new BrowserTypeLaunchOptions { ExecutablePath = chromium, Headless = true, Args = Flags });
            return new DemoInBrowser(folder, demo, playwright, browser);
        }
        catch
        {
            playwright?.Dispose();
            await (demo?.DisposeAsync() ?? ValueTask.CompletedTask);
            folder.Dispose();
            throw;
        }
    }

    /// <summary>A page in a window of its own, at the dashboard, once it shows all poles.</summary>
    public async Task<IPage> OpenAsync(ColorScheme scheme = ColorScheme.Light)
    {
        var context = await _browser.NewContextAsync(new BrowserNewContextOptions
        {
            ColorScheme = scheme, ViewportSize = new ViewportSize { Width = 1360, Height = 1000 }, ReducedMotion = ReducedMotion.Reduce,
        });
        var page = await context.NewPageAsync();
        page.SetDefaultTimeout((float)Eventually.Within.TotalMilliseconds);
        page.Console += (_, message) => Note(message.Type == "error", $"console: {message.Text} ({message.Location})");
        page.PageError += (_, error) => Note(true, $"error: {error}");
        page.Request += (_, request) => Note(!request.Url.StartsWith(Demo.Address.ToString(), StringComparison.Ordinal) && !request.Url.StartsWith("data:", StringComparison.Ordinal), $"asked elsewhere: {request.Url}");
        page.Response += (_, response) => Note(response.Status >= 400, $"answer {response.Status}: {response.Url}");
        await page.GotoAsync(Demo.Address.ToString());
        await Eventually.HoldsAsync("14 poles on the page", async () => await page.GetByRole(AriaRole.Radio).CountAsync() == 14, State);
        return page;
    }

    /// <summary>The page did nothing that it should not.</summary>
    public void AssertNoTroubles()
    {
        lock (_troubles)
        {
            Assert.True(_troubles.Count == 0, string.Join(Environment.NewLine, _troubles));
        }
    }

    public string State()
    {
        lock (_troubles)
        {
            return $"{string.Join(Environment.NewLine, _troubles)}{Environment.NewLine}{Demo.Output}";
        }
    }

    public async ValueTask DisposeAsync()
    {
        await _browser.DisposeAsync();
        _playwright.Dispose();
        await Demo.DisposeAsync();
        _folder.Dispose();
    }

    private void Note(bool isTrouble, string what)
    {
        if (isTrouble)
        {
            lock (_troubles)
            {
                _troubles.Add(what);
            }
        }
    }
}
