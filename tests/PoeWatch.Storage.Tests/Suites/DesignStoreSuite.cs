using System.Security.Cryptography;
using System.Text;
using PoeWatch.Monitoring.Abstractions;

namespace PoeWatch.Storage.Tests.Suites;

/// <summary>What every design store does. Each adapter inherits it.</summary>
public abstract class DesignStoreSuite : StoreSuite
{
    [Fact]
    public async Task Versions_come_back_oldest_first_with_text_and_hash()
    {
        await using var store = await Harness.OpenAsync();
        var versions = new[] { Version("site: Skerry Haven\n", 0), Version("site: Skerry Haven\n# größer, with \U0001F4A1\r\n", 1) };

        foreach (var version in versions)
        {
            await store.Designs.SaveDesignAsync(version, Token);
        }

        Assert.Equal(versions, await store.Designs.ReadDesignsAsync(Token));
    }

    [Fact]
    public async Task The_design_in_force_saved_again_adds_nothing_but_a_return_to_an_older_one_does()
    {
        await using var store = await Harness.OpenAsync();
        foreach (var (text, hour) in new[] { ("a", 0), ("a", 1), ("b", 2), ("b", 3), ("a", 4) })
        {
            await store.Designs.SaveDesignAsync(Version(text, hour), Token);
        }

        Assert.Equal([Version("a", 0), Version("b", 2), Version("a", 4)], await store.Designs.ReadDesignsAsync(Token));
    }

    [Fact]
    public async Task A_large_design_is_kept_over_a_restart()
    {
        var version = Version(string.Concat(Enumerable.Range(0, 40_000).Select(n => $"- port: quay-west:1/{n}\n")), 0);
        await using (var first = await Harness.OpenAsync())
        {
            await first.Designs.SaveDesignAsync(version, Token);
        }

        await using var second = await Harness.OpenAsync();

        Assert.Equal([version], await second.Designs.ReadDesignsAsync(Token));
    }

    private static DesignVersion Version(string text, int hour) => new(
        Convert.ToHexStringLower(SHA256.HashData(Encoding.UTF8.GetBytes(text))), text, SampleReadings.Start.AddHours(hour), "start");
}
