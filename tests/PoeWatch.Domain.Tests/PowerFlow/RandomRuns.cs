using PoeWatch.Domain.Design;
using PoeWatch.Domain.Poe;
using PoeWatch.Domain.PowerFlow;
using PoeWatch.Domain.Quantities;
using PoeWatch.TestKit;
using static PoeWatch.TestKit.Design.CableRunBuilder;

namespace PoeWatch.Domain.Tests.PowerFlow;

/// <summary>A run with demands that it can be fed, and the number that it was drawn from.</summary>
internal sealed record DrawnRun(int Seed, CableRun Run, Dictionary<string, Power> Demand, OperatingMode Mode)
{
    public PowerFlowResult Solve() => PowerFlowSolver.Solve(Run, Demand, Mode);

    public DrawnRun With(string element, double moreWatts) => this with
    {
        Demand = new(Demand) { [element] = Demand.GetValueOrDefault(element) + Power.FromWatts(moreWatts) },
    };

    public DrawnRun WithRoot(Func<FlowNode, FlowNode> change) => this with { Run = Run with { Root = change(Run.Root) } };

    // What a failing test prints.
    public override string ToString() => $"run drawn from seed {Seed}, {Mode}";
}

/// <summary>Trees of up to 5 segments' depth, or deeper where asked, with every kind of element, in both operating modes; the same seed draws the same run.</summary>
internal static class RandomRuns
{
    private static readonly int[] s_gauges = [22, 23, 24, 26];

    /// <summary>Draws runs one after the other from the seed of this test run; a failure names the seed of the run that failed.</summary>
    public static void Each(int rounds, Action<DrawnRun> holds)
    {
        var seeds = new Random(EvidenceRun.Seed(1));
        for (var round = 0; round < rounds; round++)
        {
            var drawn = From(seeds.Next());
            try
            {
                holds(drawn);
            }
            catch (Exception failure)
            {
                throw new InvalidOperationException($"Does not hold for {drawn}.", failure);
            }
        }
    }

    /// <param name="deepest">Segments in a row at most.</param>
    /// <param name="most">From so many places on, only devices are added.</param>
    public static DrawnRun From(int seed, int deepest = 5, int most = int.MaxValue)
    {
        var random = new Random(seed);
        var number = 0;
        var type = (PoeType)random.Next(0, 5);
        var run = OnPort(Place(random, ref number, depth: 1, deepest, most), 40 + (60 * random.NextDouble()), type, 44 + (13 * random.NextDouble()));
        var demand = run.Root.SelfAndBelow()
            .Where(place => place.Kind == FlowNodeKind.Device || random.Next(4) == 0)
            .ToDictionary(place => place.ElementId, _ => Power.FromWatts(25 * random.NextDouble()));
        var drawn = new DrawnRun(seed, run, demand, (OperatingMode)random.Next(1, 3));
        for (var halving = 0; halving < 20 && drawn.Solve().Outcome != FlowOutcome.Solved; halving++)
        {
            drawn = drawn with { Demand = Scaled(drawn.Demand, 0.5) };
        }

        return drawn;
    }

    public static Dictionary<string, Power> Scaled(Dictionary<string, Power> demand, double factor) =>
        demand.ToDictionary(d => d.Key, d => d.Value * factor);

    private static FlowNode Place(Random random, ref int number, int depth, int deepest, int most)
    {
        var id = $"e{++number}";
        var cable = Hung(Cable(1 + (99 * random.NextDouble()), s_gauges[random.Next(4)], random.Next(2) == 0 ? 2 : 4, -20 + (80 * random.NextDouble())), random);
        var kind = depth == deepest || number > most ? 0 : random.Next(depth == 1 ? 1 : 0, 4);
        if (kind == 0)
        {
            return Device(id, cable, (PoeClass)random.Next(0, 9));
        }

        var children = new FlowNode[random.Next(1, 4)];
        for (var at = 0; at < children.Length; at++)
        {
            children[at] = Place(random, ref number, depth + 1, deepest, most);
        }

        var own = 0.5 * random.NextDouble();
        return kind switch
        {
            1 => Extender(id, cable, children, ownWatts: own),
            2 => PassThrough(id, cable, children, outputVolts: null, efficiency: 0.9 + (0.1 * random.NextDouble()), ownWatts: own),
            _ => PassThrough(id, cable, children, outputVolts: 48 + (8 * random.NextDouble()), efficiency: 0.85 + (0.1 * random.NextDouble()), ownWatts: own),
        };
    }

    // Every second cable hangs in a bundle, every second has cords and contacts, every eighth was measured.
    private static CableSegment Hung(CableSegment cable, Random random)
    {
        var isMeasured = random.Next(8) == 0;
        var plain = new CableInstallation();
        return cable with
        {
            Material = random.Next(8) == 0 ? ConductorMaterial.CopperCladAluminium : ConductorMaterial.Copper,
            MeasuredLoop = isMeasured ? Resistance.FromOhms(0.5 + (30 * random.NextDouble())) : null,
            Installation = plain with
            {
                Cords = Length.FromMeters(random.Next(2) == 0 ? 0 : 10 * random.NextDouble()),
                CordConductor = Resistance.FromOhms(random.Next(2) == 0 ? 0 : random.NextDouble()),
                Contacts = random.Next(0, 5),
                PerContact = Resistance.FromOhms(0.3 * random.NextDouble()),
                BundledCables = random.Next(2) == 0 ? 0 : random.Next(1, 101),
                BundleCategory = (BundledCable)random.Next(1, 4),
                MeasuredAt = random.Next(2) == 0 ? null : Temperature.FromCelsius(40 * random.NextDouble()),
                IsTemperatureKnown = random.Next(2) == 0,
                PairUnbalance = Ratio.FromPercent(10 * random.NextDouble()),
            },
        };
    }
}
