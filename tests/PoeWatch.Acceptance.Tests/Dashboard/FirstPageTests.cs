using System.Globalization;
using System.Text.RegularExpressions;
using Deque.AxeCore.Commons;
using Deque.AxeCore.Playwright;
using Microsoft.Playwright;
using PoeWatch.Acceptance.Tests.Support;

namespace PoeWatch.Acceptance.Tests.Dashboard;

/// <summary>The first page as somebody meets it who has a screen, a keyboard, or neither colour nor contrast to spare.</summary>
public sealed partial class FirstPageTests(CalmHarbour harbour) : IClassFixture<CalmHarbour>
{
    private DemoInBrowser Browser => harbour.Browser;

    [Fact]
    public async Task Poles_stand_in_the_order_of_what_is_left_and_say_what_the_API_says()
    {
        var page = await Browser.OpenAsync();

        await Eventually.HoldsAsync(
            "least room first",
            async () =>
            {
                double[] left = [.. (await page.Locator("#strip .mast-left").AllInnerTextsAsync()).Select(Left)];
                return left.Length == 14 && left.SequenceEqual(left.Order());
            },
            Browser.State);
        var names = (await Browser.Demo.Rest.ItemsAsync("/api/v1/poles")).Select(p => p.GetProperty("name").GetString()!).Order();
        var shown = await page.Locator("#strip .mast-name").AllInnerTextsAsync();
        Assert.Equal(names, shown.Order());

        // The coal pier hangs on an unmanaged injector: nobody measures it, and it must not look measured.
        Assert.Contains("unmetered", await page.Locator("[data-pole=pole-e1]").GetAttributeAsync("aria-label"), StringComparison.Ordinal);
        Browser.AssertNoTroubles();
    }

    [Fact]
    public async Task Draws_change_on_the_page_without_reloading_it()
    {
        var page = await Browser.OpenAsync();
        var draws = page.Locator("#strip .mast-draw");
        await Eventually.HoldsAsync("measured draws", async () => (await draws.AllInnerTextsAsync()).Count(t => t.Contains("measured", StringComparison.Ordinal)) >= 10, Browser.State);
        var before = await draws.AllInnerTextsAsync();
        await page.EvaluateAsync("() => { window.wasNeverReloaded = true; }");

        await Eventually.HoldsAsync(
            "three draws that changed",
            async () => (await draws.AllInnerTextsAsync()).Except(before).Count() >= 3,
            () => string.Join(", ", before) + Browser.State());

        Assert.True(await page.EvaluateAsync<bool>("() => window.wasNeverReloaded === true"));
        Browser.AssertNoTroubles();
    }

    [Fact]
    public async Task With_the_keyboard_alone_a_pole_is_chosen_and_its_history_is_seen_as_chart_and_as_table()
    {
        var page = await Browser.OpenAsync();
        await TabToAsync(page, "#strip [role=radio]");
        var first = await page.EvaluateAsync<string>("() => document.activeElement.dataset.pole");

        await page.Keyboard.PressAsync("ArrowRight");

        var chosen = page.Locator("#strip [role=radio][aria-checked=true]");
        await Assertions.Expect(chosen).ToHaveCountAsync(1);
        await Assertions.Expect(chosen).ToBeFocusedAsync();
        var name = await chosen.Locator(".mast-name").InnerTextAsync();
        Assert.NotEqual(first, await chosen.GetAttributeAsync("data-pole"));
        await Assertions.Expect(page.Locator("#pole-title")).ToContainTextAsync(name);
        await SeeInkAsync(page);
        await Assertions.Expect(page.Locator("#pole figcaption")).ToContainTextAsync(" W ");

        await TabToAsync(page, "#pole button[aria-expanded]");
        await page.Keyboard.PressAsync("Enter");
        await Assertions.Expect(page.GetByRole(AriaRole.Region, new PageGetByRoleOptions { Name = "History as a table" })).ToContainTextAsync("measured");
        Browser.AssertNoTroubles();
    }

    [Fact]
    public async Task What_a_switch_says_opens_to_its_ports_with_where_their_watts_come_from()
    {
        var page = await Browser.OpenAsync();
        var row = page.Locator("[data-agent=quay-west]");
        await Assertions.Expect(row.Locator("summary")).ToContainTextAsync("answers, last answer");

        await row.Locator("summary").ClickAsync();

        var ports = (await Browser.Demo.Rest.GetAsync("/api/v1/switches/quay-west")).GetProperty("ports").GetArrayLength();
        var table = row.Locator("table").First;
        await Assertions.Expect(table.Locator("tbody tr")).ToHaveCountAsync(ports);
        var delivering = table.Locator("tbody tr", new LocatorLocatorOptions { HasText = "delivering" }).First;
        await Assertions.Expect(delivering).ToContainTextAsync("measured");
        await Assertions.Expect(delivering.Locator("td").Nth(3)).ToContainTextAsync("in steps of");

        // What was opened stays open when the list is read again.
        await Eventually.HoldsAsync(
            "a newer line", async () => await row.GetAttributeAsync("open") is not null && await row.Locator("table").CountAsync() > 0, Browser.State);
        Browser.AssertNoTroubles();
    }

    [Theory]
    [InlineData(ColorScheme.Light)]
    [InlineData(ColorScheme.Dark)]
    public async Task Nobody_is_shut_out_by_a_serious_fault_of_the_page_in_light_or_dark(ColorScheme scheme)
    {
        var page = await Browser.OpenAsync(scheme);
        await Assertions.Expect(page.Locator("#pole canvas")).ToBeVisibleAsync();

        var found = await page.RunAxe(new AxeRunOptions());

        Assert.Empty(found.Violations
            .Where(v => v.Impact is "serious" or "critical")
            .SelectMany(v => v.Nodes.Select(n => $"{v.Id}: {v.Help}: {n.Html}")));
        Browser.AssertNoTroubles();
    }

    /// <summary>Goes on with the Tab key until the focus is on what the selector names and holds the text, and not for ever.</summary>
    internal static async Task TabToAsync(IPage page, string selector, string text = "")
    {
        for (var step = 0; step < 80; step++)
        {
            await page.Keyboard.PressAsync("Tab");
            if (await page.EvaluateAsync<bool>(
                "([selector, text]) => document.activeElement.matches(selector) && document.activeElement.textContent.includes(text)", new[] { selector, text }))
            {
                return;
            }
        }

        Assert.Fail($"The Tab key never comes to '{selector}' with '{text}'.");
    }

    /// <summary>Something is drawn on the canvas of the chart.</summary>
    internal static Task SeeInkAsync(IPage page) => Eventually.HoldsAsync(
        "a chart with ink on it",
        () => page.EvaluateAsync<bool>("""
            () => {
              const canvas = document.querySelector('#pole canvas');
              if (!canvas || canvas.width === 0) return false;
              const pixels = canvas.getContext('2d').getImageData(0, 0, canvas.width, canvas.height).data;
              let inked = 0;
              for (let i = 3; i < pixels.length; i += 4) if (pixels[i] > 0) inked++;
              return inked > 500;
            }
            """),
        () => page.Url);

    /// <summary>Watts left as shown: "at least 12.3 W left", "1.2 W too much" (then below zero), "no run here" (then last).</summary>
    private static double Left(string text)
    {
        var number = Number().Match(text);
        var watts = number.Success ? double.Parse(number.ValueSpan, CultureInfo.InvariantCulture) : double.PositiveInfinity;
        return text.Contains("too much", StringComparison.Ordinal) ? -watts : watts;
    }

    [GeneratedRegex("[0-9]+(\\.[0-9]+)?")]
    private static partial Regex Number();
}
