using PoeWatch.Domain.Poe;
using PoeWatch.Domain.Quantities;
using PoeWatch.Domain.Readings;

namespace PoeWatch.Storage.Tests.Suites;

/// <summary>How many bytes a port sample takes on disk: row, index and page slack. Each adapter inherits it and states its bound.</summary>
public abstract class StoredSizeSuite : StoreSuite
{
    private const int Switches = 20;
    private const int Polls = 500;
    private const int Ports = 48;

    /// <summary>Bytes a port sample, at most: 10 % above what was measured when the layout was made.</summary>
    protected abstract double BytesAtMost { get; }

    [Fact]
    public async Task A_port_sample_takes_few_bytes()
    {
        await using var store = await Harness.OpenAsync();
        var before = await Harness.StoredBytesAsync();
        var random = new Random(48);
        for (var poll = 0; poll < Polls; poll++)
        {
            await store.History.AppendAsync([.. Enumerable.Range(0, Switches).Select(s => Poll(random, s, poll))], Token);
        }

        var bytes = (await Harness.StoredBytesAsync() - before) / (double)(Switches * Polls * Ports);

        TestContext.Current.SendDiagnosticMessage($"{GetType().Name}: {bytes:0.00} bytes a port sample");
        Assert.InRange(bytes, 1.0, BytesAtMost);
    }

    // A site with 1 mW noise: 20 % of the ports off, 40 % steady, 30 % with day and night, 10 % cameras that move.
    private static SwitchReading Poll(Random random, int number, int poll)
    {
        var pseId = $"switch-{number}";
        var ports = Enumerable.Range(1, Ports).Select(port => port % 10 < 2
            ? new PortReading(new PsePortRef(pseId, 1, port), PortState.Searching, Power.Zero, Provenance.Off, null)
            : new PortReading(new PsePortRef(pseId, 1, port), PortState.Delivering, Power.FromMilliwatts(Draw(random, port, poll)), Provenance.Measured, PoeClass.Class4));
        return new SwitchReading(
            pseId,
            (poll * Switches) + number,
            SampleReadings.Start.AddMinutes(poll).AddTicks(random.Next(600_000_000)),
            PollOutcome.Answered,
            "",
            TimeSpan.FromMinutes(100_000 + poll),
            [.. ports],
            [new GroupReading(1, Power.FromWatts(720), Power.FromWatts(311), Provenance.Measured, true)])
        {
            InterfaceNames = SampleReadings.Names(pseId, "Gi1/0", Ports),
        };
    }

    private static double Draw(Random random, int port, int poll) => (port % 10) switch
    {
        < 6 => 6_500 + (20 * Noise(random)),
        < 9 => 9_000 + (2_500 * Math.Sin(poll * Math.Tau / 1440)) + (60 * Noise(random)),
        _ => 14_000 + (random.Next(20) == 0 ? 5_000 : 0) + (40 * Noise(random)),
    };

    private static double Noise(Random random) =>
        Math.Sqrt(-2 * Math.Log(1 - random.NextDouble())) * Math.Cos(Math.Tau * random.NextDouble());
}
