using Microsoft.Playwright;
using PoeWatch.Acceptance.Tests.Support;

namespace PoeWatch.Acceptance.Tests.Dashboard;

/// <summary>
/// The operator's first minutes with the demo: an alarm comes up on the open page and is acknowledged with the keyboard. The page as it is
/// then is kept as an artifact; with POEWATCH_UPDATE_SCREENSHOT=1 also as the picture that the README shows.
/// </summary>
public sealed class OperatorStoryTests
{
    [Fact]
    public async Task An_alarm_comes_up_by_itself_and_is_acknowledged_with_the_keyboard()
    {
        await using var browser = await DemoInBrowser.StartAsync();
        var page = await browser.OpenAsync();

        // config/demo/skerry-haven.faults hangs a second access point on that run 15 s after the start.
        var alarm = page.Locator("#alarm-list .alarm", new PageLocatorOptions { HasText = "Ticket office" }).First;
        await Assertions.Expect(alarm).ToContainTextAsync("headroom-low");
        await KeepScreenshotAsync(page);

        await FirstPageTests.TabToAsync(page, "#alarm-list .alarm summary", "Acknowledge");
        await page.Keyboard.PressAsync("Enter");
        await FirstPageTests.TabToAsync(page, "#alarm-list input");
        await page.Keyboard.TypeAsync("looking at it");
        await FirstPageTests.TabToAsync(page, "#alarm-list button", "Acknowledge");
        await page.Keyboard.PressAsync("Enter");

        await Assertions.Expect(page.Locator("#alarm-list .operator").First).ToContainTextAsync("looking at it");
        await Eventually.HoldsAsync(
            "the acknowledgement in the API",
            async () => (await browser.Demo.Rest.ItemsAsync("/api/v1/alarms")).Any(a =>
                a.GetProperty("operatorState").GetString() == "ack" && a.GetProperty("operatorText").GetString() == "looking at it"),
            browser.State);
        browser.AssertNoTroubles();
    }

    private static async Task KeepScreenshotAsync(IPage page)
    {
        // The pole that the alarm is about, down to its history.
        await page.SetViewportSizeAsync(1360, 1480);
        await page.Locator("[data-pole=pole-w2]").ClickAsync();
        await FirstPageTests.SeeInkAsync(page);
        await page.Mouse.MoveAsync(0, 0);
        var picture = await page.ScreenshotAsync(new PageScreenshotOptions { Path = Path.Combine(AppContext.BaseDirectory, "TestResults", "dashboard.png") });
        TestContext.Current.AddAttachment("dashboard.png", picture, "image/png");
        if (Environment.GetEnvironmentVariable(Service.UpdateScreenshotVariable) == "1")
        {
            var file = Path.Combine(Service.RepositoryRoot, "docs", "images", "dashboard.png");
            Directory.CreateDirectory(Path.GetDirectoryName(file)!);
            await File.WriteAllBytesAsync(file, picture, TestContext.Current.CancellationToken);
        }
    }
}
