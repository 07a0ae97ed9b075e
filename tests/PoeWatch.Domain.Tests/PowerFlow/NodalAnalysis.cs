using MathNet.Numerics.LinearAlgebra;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.Poe;
using PoeWatch.Domain.PowerFlow;
using PoeWatch.Domain.Quantities;

namespace PoeWatch.Domain.Tests.PowerFlow;

/// <summary>
/// A run as one set of Kirchhoff's equations in the voltages of all places, solved by Newton's method with the dense matrices of MathNet.Numerics. The load is brought up
/// step by step from nothing, so the solution is the one that hangs together with the unloaded run; it ends where the determinant of the matrix would change its sign.
/// Shares no step with the product: no domains, no elimination along the tree, no closed form.
/// </summary>
internal sealed class NodalAnalysis
{
    private const int MostIterations = 60;
    private const double Settled = 1e-11;
    private const double SmallestStep = 1e-8;

    private readonly List<(FlowNode Place, int Parent, double? FixedFeed, double? Output, SegmentByHand Segment, double Efficiency, double Own, double Demand)> _places = [];
    private readonly OperatingMode _mode;

    public NodalAnalysis(CableRun run, IReadOnlyDictionary<string, Power> demand, OperatingMode mode)
    {
        _mode = mode;
        SourceVolts = Fixed(run.Source.NominalVoltage, run.Source.Type);
        Add(run.Root, -1, SourceVolts, run.Source.Type, demand);
    }

    public double SourceVolts { get; }

    /// <summary>Volts by place at a share of all demands, own draws in full; null where there is no solution.</summary>
    public Vector<double>? Solve(double share)
    {
        var unloaded = Vector<double>.Build.Dense(_places.Count, at => TopVolts(at));
        return BroughtUp(unloaded, step => (step, 0.0), 1.0) is var (idle, ownReached) && ownReached >= 1.0
            && BroughtUp(idle, step => (1.0, step), share) is var (loaded, reached) && reached >= share ? loaded : null;
    }

    /// <summary>The largest share of all demands that can be fed, at most <paramref name="bound"/>; null where not even the own draws can.</summary>
    public double? LargestShare(double bound)
    {
        var unloaded = Vector<double>.Build.Dense(_places.Count, at => TopVolts(at));
        var (idle, ownReached) = BroughtUp(unloaded, step => (step, 0.0), 1.0);
        return ownReached < 1.0 ? null : BroughtUp(idle, step => (1.0, step), bound).Reached;
    }

    public IEnumerable<(string ElementId, double Volts, double Amperes, double Watts)> Points(Vector<double> volts) =>
        _places.Select((p, at) => (p.Place.ElementId, volts[at], Amperes(at, volts), volts[at] * Amperes(at, volts)));

    public double DrawAtPse(Vector<double> volts) => SourceVolts * Amperes(0, volts);

    private void Add(FlowNode place, int parent, double? fixedFeed, PoeType feed, IReadOnlyDictionary<string, Power> demand)
    {
        var converter = place.PassThrough;
        var below = converter?.OutputVoltage is null ? feed : PoeTables.TypeForOutput(converter.OutputLimit);
        double? output = converter?.OutputVoltage is { } regulated ? Fixed(regulated, below) : null;
        var efficiency = converter?.Efficiency.Fraction ?? 1.0;
        var named = demand.GetValueOrDefault(place.ElementId).Watts;
        _places.Add((
            place, parent, fixedFeed, output, SegmentByHand.Of(place.Incoming, _mode, feed), efficiency,
            (place.Extender?.OwnDraw ?? converter?.OwnDraw ?? Power.Zero).Watts, place.Kind == FlowNodeKind.Device ? named : named / efficiency));
        var at = _places.Count - 1;
        foreach (var child in place.Children)
        {
            Add(child, at, output, below, demand);
        }
    }

    private double Fixed(Voltage nominal, PoeType type) => _mode == OperatingMode.Guaranteed && PoeTables.LimitsOf(type) is { } limits
        ? Math.Min(nominal.Volts, limits.PseMinimumVoltage.Volts)
        : nominal.Volts;

    private double TopVolts(int at) => _places[at].FixedFeed ?? TopVolts(_places[at].Parent);

    private double FeedVolts(int at, Vector<double> volts) => _places[at].FixedFeed ?? volts[_places[at].Parent];

    private double Amperes(int at, Vector<double> volts) => _places[at].Segment.At(FeedVolts(at, volts) - volts[at]).Amperes;

    private (Vector<double> Volts, double Reached) BroughtUp(Vector<double> from, Func<double, (double Own, double Demand)> shares, double goal)
    {
        var (volts, reached, step) = (from, 0.0, goal / 4);
        var sign = Math.Sign(Equations(from, 0, 0).Slopes.Determinant());
        while (reached < goal && step > SmallestStep * Math.Max(1e-3, reached))
        {
            var next = Math.Min(goal, reached + step);
            var (own, demand) = shares(next);
            if (Newton(volts, own, demand, sign) is { } solved)
            {
                (volts, reached, step) = (solved, next, step * 2);
            }
            else
            {
                step /= 4;
            }
        }

        return (volts, reached);
    }

    private Vector<double>? Newton(Vector<double> start, double own, double demand, int sign)
    {
        var volts = start.Clone();
        for (var iteration = 0; iteration < MostIterations; iteration++)
        {
            var (surplus, slopes) = Equations(volts, own, demand);
            var change = slopes.LU().Solve(surplus);
            volts -= change;
            if (!volts.ForAll(double.IsFinite) || volts.Minimum() <= 0.0)
            {
                return null;
            }

            if (change.InfinityNorm() <= Settled)
            {
                return Math.Sign(Equations(volts, own, demand).Slopes.Determinant()) == sign ? volts : null;
            }
        }

        return null;
    }

    /// <summary>Amperes that arrive at each place less those that it takes, and how they change with the volts.</summary>
    private (Vector<double> Surplus, Matrix<double> Slopes) Equations(Vector<double> volts, double own, double demand)
    {
        var surplus = Vector<double>.Build.Dense(_places.Count);
        var slopes = Matrix<double>.Build.Dense(_places.Count, _places.Count);
        for (var at = 0; at < _places.Count; at++)
        {
            var place = _places[at];
            var (arriving, siemens) = place.Segment.At(FeedVolts(at, volts) - volts[at]);
            surplus[at] += arriving - (((place.Own * own) + (place.Demand * demand)) / volts[at]);
            slopes[at, at] += -siemens + (((place.Own * own) + (place.Demand * demand)) / (volts[at] * volts[at]));
            if (place.FixedFeed is null)
            {
                slopes[at, place.Parent] += siemens;
            }

            if (place.Parent < 0)
            {
                continue;
            }

            // What the place takes, its parent hands on: at its own volts, or converted from its input's volts to the regulated ones.
            var (parent, amperes) = (_places[place.Parent], arriving);
            var ratio = (parent.Output is { } regulated ? regulated / volts[place.Parent] : 1.0) / parent.Efficiency;
            surplus[place.Parent] -= amperes * ratio;
            slopes[place.Parent, at] += siemens * ratio;
            slopes[place.Parent, place.Parent] += parent.Output is null ? -siemens * ratio : amperes * ratio / volts[place.Parent];
        }

        return (surplus, slopes);
    }
}
