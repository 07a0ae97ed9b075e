using System.Globalization;
using System.IO.Compression;
using PoeWatch.Acceptance.Tests.Agents;
using PoeWatch.Acceptance.Tests.Support;

namespace PoeWatch.Acceptance.Tests.Evidence;

/// <summary>Evidence from the key to the verdict, with the commands that people type; and its signature checked by openssl, which is not ours.</summary>
public sealed class EvidenceTests
{
    private static CancellationToken Token => TestContext.Current.CancellationToken;

    [Fact]
    public async Task An_export_of_the_running_service_holds_and_one_changed_figure_is_named()
    {
        using var folder = new WorkFolder();
        await RunAsync(0, "seal-key", "--out", folder.At("harbour"));
        await using var agent = await SnmpdAgent.StartAsync(FerryRamp.Drawing(20_000), 1);
        folder.Write("design.yaml", FerryRamp.Design(agent.Ports[0]));
        folder.Write("settings.json", FerryRamp.Settings);
        await using (var service = await FerryRamp.ServeAsync(folder, new Dictionary<string, string?> { ["POEWATCH_evidence__keyFile"] = folder.At("harbour.pem") }))
        {
            await service.SeePortAsync("a reading that is kept", "quay", 1, 1, port => port.GetProperty("kept").ValueKind == System.Text.Json.JsonValueKind.True);
            var now = TimeProvider.System.GetUtcNow();
            var from = now.AddHours(-1).ToString("yyyy-MM-dd'T'HH:mm:ss'Z'", CultureInfo.InvariantCulture);
            var to = now.AddHours(1).ToString("yyyy-MM-dd'T'HH:mm:ss'Z'", CultureInfo.InvariantCulture);
            await RunAsync(0, "export", "--from", from, "--to", to, "--pole", "pole-ferry", "--out", folder.At("ferry.zip"), "--url", service.Address.ToString());
            await RunAsync(0, "evidence-report", "--month", now.ToString("yyyy-MM", CultureInfo.InvariantCulture), "--out", folder.At("month.html"), "--url", service.Address.ToString());
            Assert.Contains("roots are signed", (await service.Rest.GetAsync("/api/v1/health")).ToString(), StringComparison.Ordinal);
        }

        Assert.Contains("quay:1/1", await File.ReadAllTextAsync(folder.At("month.html"), Token), StringComparison.Ordinal);
        var told = await RunAsync(0, "verify", folder.At("ferry.zip"), "--key", folder.At("harbour.pub.pem"));
        Assert.Contains("Nothing was changed", told, StringComparison.Ordinal);
        Assert.Contains("cannot be excluded", told, StringComparison.Ordinal);

        await ZipFile.ExtractToDirectoryAsync(folder.At("ferry.zip"), folder.At("ferry"), Token);
        await using (var openssl = OutsideProgram.Start(
            OutsideProgram.Find("openssl", "openssl"),
            ["dgst", "-sha256", "-verify", folder.At("harbour.pub.pem"), "-signature", folder.At("ferry", "manifest.sig"), folder.At("ferry", "manifest.json")]))
        {
            Assert.True(await openssl.ExitAsync() == 0, openssl.Output);
        }

        var raw = await File.ReadAllTextAsync(folder.At("ferry", "raw.csv"), Token);
        Assert.Contains(",20000,", raw, StringComparison.Ordinal);
        await File.WriteAllTextAsync(folder.At("ferry", "raw.csv"), raw.Replace(",20000,", ",19000,", StringComparison.Ordinal), Token);
        told = await RunAsync(1, "verify", folder.At("ferry"), "--key", folder.At("harbour.pub.pem"));
        Assert.Contains("FAULT: raw.csv was changed: its SHA-256 is", told, StringComparison.Ordinal);
        Assert.Contains("(quay:1/1 at ", told, StringComparison.Ordinal);
    }

    [Fact]
    public async Task What_cannot_be_used_ends_with_2_and_says_why()
    {
        using var folder = new WorkFolder();
        await RunAsync(0, "seal-key", "--out", folder.At("harbour"));
        await RunAsync(3, "seal-key", "--out", folder.At("harbour"));
        folder.Write("none.pem", "no key");
        Assert.Contains("it holds no ECDSA key in PEM", await RunAsync(2, "verify", folder.Path, "--key", folder.At("none.pem")), StringComparison.Ordinal);
        Assert.Contains("is no export that can be read", await RunAsync(2, "verify", folder.At("none.pem"), "--key", folder.At("harbour.pub.pem")), StringComparison.Ordinal);
        Assert.Contains("manifest.json is missing", await RunAsync(1, "verify", folder.Path, "--key", folder.At("harbour.pub.pem")), StringComparison.Ordinal);
    }

    private static async Task<string> RunAsync(int expected, params string[] arguments)
    {
        var (code, output) = await Service.RunAsync(arguments);
        Assert.True(code == expected, $"{string.Join(' ', arguments)}: {code}\n{output}");
        return output;
    }
}
