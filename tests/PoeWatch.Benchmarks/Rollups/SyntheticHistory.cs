using System.Collections.Frozen;
using System.Runtime.CompilerServices;
using PoeWatch.Domain.Assessment;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.Quantities;
using PoeWatch.Domain.Readings;
using PoeWatch.Monitoring.Abstractions;
using PoeWatch.Monitoring.Service;
using PoeWatch.TestKit.Design;

namespace PoeWatch.Benchmarks.Rollups;

/// <summary>
/// A switch of 48 ports and twelve poles of four ports each, a poll a minute with 1 mW noise, made up while it is read: 20 % of the ports off, 40 % steady,
/// 30 % with day and night, 10 % cameras that move. Seeded by the minute, so that any stretch comes out alike each time.
/// </summary>
internal sealed class SyntheticHistory : IHistoryStore
{
    internal const string Switch = "switch-0";
    internal const int Ports = 48;
    internal const int Poles = 12;

    internal static DesignModel Design()
    {
        var design = new DesignModelBuilder().InZone("Europe/Berlin").Switch(Switch).DeviceType("camera", 9);
        for (var port = 1; port <= Ports; port++)
        {
            design.Port($"{Switch}:1/{port}").Device($"cam-{port}", "camera", $"pole-{port % Poles}").Cable($"{Switch}:1/{port}", $"cam-{port}");
        }

        return design.Build();
    }

    internal static ISiteView View(DesignModel design)
    {
        var nothing = new NetworkSnapshot(DateTimeOffset.UnixEpoch, FrozenDictionary<string, SwitchReading>.Empty, FrozenDictionary<string, SwitchReading>.Empty);
        return new SiteViewHolder(new SiteView(0, design, nothing, SiteAssessor.Assess(DesignAnalysis.Of(design), nothing), [], 0));
    }

    public async IAsyncEnumerable<SwitchReading> ReadAsync(
        string pseId, DateTimeOffset from, DateTimeOffset to, [EnumeratorCancellation] CancellationToken cancellationToken)
    {
        await Task.CompletedTask;
        for (var minute = (long)Math.Ceiling((from - DateTimeOffset.UnixEpoch).TotalMinutes); ; minute++)
        {
            var at = DateTimeOffset.UnixEpoch.AddMinutes(minute);
            if (at >= to)
            {
                yield break;
            }

            var random = new Random((int)minute);
            yield return new SwitchReading(
                pseId, minute, at, PollOutcome.Answered, "", null, [.. Enumerable.Range(1, Ports).Select(p => Port(random, pseId, p, minute))], []);
        }
    }

    public Task PrepareAsync(CancellationToken cancellationToken) => Task.CompletedTask;

    public Task AppendAsync(IReadOnlyList<SwitchReading> readings, CancellationToken cancellationToken) => Task.CompletedTask;

    public Task<IReadOnlyList<SwitchReading>> ReadLatestAsync(CancellationToken cancellationToken) => Task.FromResult<IReadOnlyList<SwitchReading>>([]);

    private static PortReading Port(Random random, string pseId, int port, long minute) => port % 10 < 2
        ? new PortReading(new PsePortRef(pseId, 1, port), PortState.Searching, Power.Zero, Provenance.Off, null)
        : new PortReading(new PsePortRef(pseId, 1, port), PortState.Delivering, Power.FromMilliwatts(Draw(random, port, minute)), Provenance.Measured, null);

    private static double Draw(Random random, int port, long minute) => Math.Round((port % 10) switch
    {
        < 6 => 6_500 + (20 * Noise(random)),
        < 9 => 9_000 + (2_500 * Math.Sin(minute * Math.Tau / 1440)) + (60 * Noise(random)),
        _ => 14_000 + (random.Next(20) == 0 ? 5_000 : 0) + (40 * Noise(random)),
    });

    private static double Noise(Random random) =>
        Math.Sqrt(-2 * Math.Log(1 - random.NextDouble())) * Math.Cos(Math.Tau * random.NextDouble());
}

/// <summary>A clock that stands: what rests as long as its work took does not rest.</summary>
internal sealed class StandingTime : TimeProvider
{
    public override long GetTimestamp() => 0;
}

/// <summary>No design of the past.</summary>
internal sealed class NoDesigns : IDesignStore, IDesignSource
{
    public Task SaveDesignAsync(DesignVersion version, CancellationToken cancellationToken) => Task.CompletedTask;

    public Task<IReadOnlyList<DesignVersion>> ReadDesignsAsync(CancellationToken cancellationToken) => Task.FromResult<IReadOnlyList<DesignVersion>>([]);

    public DesignReading Read() => new(null, [], "");

    public DesignReading Parse(string text, string name) => new(null, [], text);
}
