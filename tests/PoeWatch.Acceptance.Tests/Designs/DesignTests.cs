using System.Net;
using System.Net.Sockets;
using System.Text.RegularExpressions;
using PoeWatch.Acceptance.Tests.Support;

namespace PoeWatch.Acceptance.Tests.Designs;

/// <summary>A design with faults stops before anything starts, and each fault is named at its line.</summary>
public sealed partial class DesignTests
{
    [Fact]
    public async Task Check_names_each_of_twelve_faults_with_its_line_and_ends_with_2()
    {
        using var folder = new WorkFolder();

        var (code, output) = await Service.RunAsync("check", folder.Write("slipway.yaml", TwelveFaults.Text));

        Assert.Equal(12, TwelveFaults.Marks.Length);
        Assert.True(code == 2, output);
        Assert.Equal(TwelveFaults.Marks, Named(output));
    }

    [Fact]
    public async Task Serve_refuses_a_faulty_design_names_the_faults_and_starts_nothing()
    {
        using var folder = new WorkFolder();
        var port = FreePort.Tcp();

        var (code, output) = await Service.RunAsync(
            "serve", "--design", folder.Write("slipway.yaml", TwelveFaults.Text), "--data", folder.At("data"), "--port", FormattableString.Invariant($"{port}"));

        Assert.True(code == 2, output);
        Assert.Equal(TwelveFaults.Marks, Named(output));
        Assert.False(Directory.Exists(folder.At("data")), "A data folder was made.");
        using var client = new TcpClient();
        await Assert.ThrowsAsync<SocketException>(() => client.ConnectAsync(IPAddress.Loopback, port, TestContext.Current.CancellationToken).AsTask());
    }

    /// <summary>The faults that a report names.</summary>
    internal static IEnumerable<(int Line, string Code)> Named(string output) =>
        ProblemLine().Matches(output).Select(m => (int.Parse(m.Groups[1].ValueSpan, System.Globalization.CultureInfo.InvariantCulture), m.Groups[2].Value)).Order();

    [GeneratedRegex(@"slipway\.yaml:(\d+):\d+: error ([a-z-]+):")]
    private static partial Regex ProblemLine();
}
