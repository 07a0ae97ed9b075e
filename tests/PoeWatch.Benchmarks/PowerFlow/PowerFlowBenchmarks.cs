using System.Collections.Immutable;
using BenchmarkDotNet.Attributes;
using BenchmarkDotNet.Engines;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.Poe;
using PoeWatch.Domain.PowerFlow;
using PoeWatch.Domain.Quantities;
using PoeWatch.Domain.Readings;

namespace PoeWatch.Benchmarks.PowerFlow;

/// <summary>
/// Poles in six load cases on one core. Every third pole has one device on a switch port, every third an extender with two, every third a pass-through switch with three,
/// every other one of those with regulated outputs. The goal: 10,000 poles in under 1 s, cost growing linearly to 100,000, no allocation per place in the sweep.
/// </summary>
[MemoryDiagnoser]
[SimpleJob(RunStrategy.Monitoring, launchCount: 1, warmupCount: 3, iterationCount: 8)]
public class PowerFlowBenchmarks
{
    private const int LoadCases = 6;
    private CableRun[] _runs = null!;
    private Dictionary<string, Power>[] _demands = null!;
    private FlowState[] _states = null!;
    private FlowState[] _bundled = null!;

    /// <summary>Poles.</summary>
    [Params(1_000, 10_000, 100_000)]
    public int Poles { get; set; }

    [GlobalSetup]
    public void SetUp()
    {
        var random = new Random(5);
        _runs = [.. Enumerable.Range(0, Poles).Select(number => PoleOf(number, random))];
        _demands = [.. Enumerable.Range(0, LoadCases).Select(loadCase => new Dictionary<string, Power>(StringComparer.Ordinal)
        {
            ["cam"] = Power.FromWatts(5 + loadCase), ["horn"] = Power.FromWatts(2 + (2 * loadCase)), ["call"] = Power.FromWatts(3),
        })];
        _states = [.. _runs.Select(run => new FlowState(new FlowTree(run, OperatingMode.Expected), _demands[^1]))];
        _bundled = [.. _runs.Select(run => new FlowState(new FlowTree(run with { Root = InBundle(run.Root) }, OperatingMode.Expected), _demands[^1]))];
    }

    /// <summary>Each run with points and every limit; sentences are put together when they are read.</summary>
    [Benchmark]
    public int Solve_with_all_limits()
    {
        var solved = 0;
        foreach (var run in _runs)
        {
            foreach (var demand in _demands)
            {
                solved += PowerFlowSolver.Solve(run, demand, OperatingMode.Expected).Outcome == FlowOutcome.Solved ? 1 : 0;
            }
        }

        return solved;
    }

    /// <summary>Volts and amperes alone, in states laid out before; the load cases are shares of the heaviest.</summary>
    [Benchmark]
    public int Sweep() => SweepAll(_states);

    /// <summary>The same with every cable in a bundle of 24 that its current warms.</summary>
    [Benchmark]
    public int Sweep_in_bundles() => SweepAll(_bundled);

    private static int SweepAll(FlowState[] states)
    {
        var solved = 0;
        foreach (var state in states)
        {
            for (var loadCase = 1; loadCase <= LoadCases; loadCase++)
            {
                state.Share = (double)loadCase / LoadCases;
                solved += FlowSweep.Solve(state) ? 1 : 0;
            }
        }

        return solved;
    }

    private static FlowNode InBundle(FlowNode place) => place with
    {
        Incoming = place.Incoming with { Installation = CableInstallation.Plain with { BundledCables = 24, Contacts = 4 } },
        Children = [.. place.Children.Select(InBundle)],
    };

    private static CableRun PoleOf(int number, Random random)
    {
        var port = new PsePortRef("quay-west", 1, number + 1);
        var root = (number % 3) switch
        {
            0 => Device("cam", random),
            1 => new FlowNode(FlowNodeKind.Extender, "ext", null, Cable("ext", random), [Device("cam", random), Device("horn", random)])
            {
                Extender = new Extender("ext", "ext", null, Power.FromWatts(90), Power.FromWatts(2), 2, Power.FromWatts(60)),
            },
            _ => new FlowNode(
                FlowNodeKind.PassThroughSwitch, "box", null, Cable("box", random), [Device("cam", random), Device("horn", random), Device("call", random)])
            {
                PassThrough = new PassThroughSwitch(
                    "box", "box", null, Power.FromWatts(71.3), Power.FromWatts(6), Ratio.FromFraction(0.92),
                    number % 2 == 0 ? Voltage.FromVolts(54) : null, 4, Power.FromWatts(30), Power.FromWatts(60), null),
            },
        };
        var poles = ImmutableArray.Create($"pole-{number}");
        return new CableRun(port.ToString(), new RunSource(Power.FromWatts(90), PoeType.Type4, Voltage.FromVolts(54), port, null), root, poles);
    }

    private static FlowNode Device(string id, Random random) => new(FlowNodeKind.Device, id, null, Cable(id, random), [])
    {
        Device = new PoweredDevice(id, id, id, null, Criticality.Low),
        DeviceType = new DeviceType(id, id, PoeClass.Class4, Power.Zero, ImmutableDictionary<string, Power>.Empty),
    };

    private static CableSegment Cable(string to, Random random) => new(
        $"to-{to}", default, to, Length.FromMeters(5 + (60 * random.NextDouble())), 23, 4, null, ConductorMaterial.Copper, null, Temperature.FromCelsius(40));
}
