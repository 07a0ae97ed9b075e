using BenchmarkDotNet.Attributes;
using BenchmarkDotNet.Engines;
using Microsoft.Extensions.Time.Testing;
using PoeWatch.DesignFiles;
using PoeWatch.Domain.Design;
using PoeWatch.Simulator.Faults;
using PoeWatch.Simulator.World;

namespace PoeWatch.Benchmarks.Simulator;

/// <summary>One step of the demo's harbour: 4 PSEs with agents, 27 runs, 30 devices. A year of steps of five minutes has 105,120.</summary>
[MemoryDiagnoser]
[SimpleJob(RunStrategy.Monitoring, launchCount: 1, warmupCount: 2, iterationCount: 8)]
public class WorldStepBenchmarks
{
    private const int Steps = 1_000;

    private const string Faults = """
        at 1s segment cable-pass-slipway gains 0.1 ohm/d
        at 1s device cam-fish swapped for access-point
        at 1s agent quay-west repeats its watts for 5 m
        at 1s port quay-east:1/2 flaps every 30 m
        at 1s port quay-east:1/3 counts 3 overload an hour
        """;

    private FakeTimeProvider _time = null!;
    private SimulatedWorld _world = null!;

    [Params(false, true)]
    public bool HasFaults { get; set; }

    [IterationSetup]
    public void SetUp()
    {
        var folder = new DirectoryInfo(AppContext.BaseDirectory);
        while (!File.Exists(Path.Combine(folder.FullName, "PoeWatch.sln")))
        {
            folder = folder.Parent ?? throw new InvalidOperationException("Run it inside of the repository.");
        }

        var config = Path.Combine(folder.FullName, "config");
        DesignModel design = DesignFile.Load(Path.Combine(config, "demo", "skerry-haven.yaml"), new DeviceTypeFolder(Path.Combine(config, "device-types"))).Result.Model!;
        _time = new FakeTimeProvider(new DateTimeOffset(2026, 1, 1, 0, 0, 0, TimeSpan.Zero));
        _world = new SimulatedWorld(
            design, 1, _time, HasFaults ? FaultScriptText.Read(Faults, design).Script : null, new WorldOptions { RefreshPeriod = TimeSpan.FromMinutes(5) });
    }

    /// <summary>A thousand steps, looked at after each.</summary>
    [Benchmark(OperationsPerInvoke = Steps)]
    public double Step()
    {
        var sum = 0.0;
        for (var step = 0; step < Steps; step++)
        {
            _time.Advance(TimeSpan.FromMinutes(5));
            sum += _world.DrawOf("quay-west")!.Value.Watts;
        }

        return sum;
    }
}
