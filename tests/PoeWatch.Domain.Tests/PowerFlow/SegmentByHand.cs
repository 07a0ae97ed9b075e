using PoeWatch.Domain.Design;
using PoeWatch.Domain.Poe;
using PoeWatch.Domain.PowerFlow;

namespace PoeWatch.Domain.Tests.PowerFlow;

/// <summary>
/// Volts over a segment, put down once more from its parts: drop = i · max(least, cold + warming · i²). Shares no step with the product: the current that belongs to a drop is found
/// directly, as the root of that cubic, where the product lays tangents along the tree.
/// </summary>
internal readonly record struct SegmentByHand(double Cold, double Warming, double Least)
{
    private const double PerDegree = 0.00393;

    public static SegmentByHand Of(CableSegment cable, OperatingMode mode, PoeType feed)
    {
        var hung = cable.Installation;
        var ways = cable.Pairs == 4 ? 0.5 : 1.0;
        var isClad = cable.Material == ConductorMaterial.CopperCladAluminium;
        double At(double at20, double celsius) => at20 * (1 + (PerDegree * (celsius - 20)));
        var perMeterAt20 = AwgAt20(cable.GaugeAwg) * (isClad ? 1.6 : 1.0);
        var others = hung.CordConductor.Ohms + (hung.Contacts * hung.PerContact.Ohms);
        double copperAt20, conductor;
        if (cable.MeasuredLoop is { } loop)
        {
            var copper = Math.Max(0, (loop.Ohms / 2) - others);
            copperAt20 = copper / At(1, hung.MeasuredAt?.Celsius ?? 20);
            conductor = (loop.Ohms / 2) + (hung.MeasuredAt is null ? 0 : At(copperAt20, cable.Conductor.Celsius) - copper);
        }
        else
        {
            copperAt20 = perMeterAt20 * cable.Length.Meters;
            conductor = At(copperAt20, cable.Conductor.Celsius) + others;
        }

        // Vaden: k = 20, 15, 12 degrees at 1 A in each of four pairs, bundle of 100; usual gauges 24 and 23 AWG.
        var (k, usual) = hung.BundleCategory switch
        {
            BundledCable.Category5e => (20.0, 24),
            BundledCable.Category6 => (15.0, 23),
            _ => (12.0, 23),
        };
        var heat = cable.Pairs == 4 ? 4 * 0.25 : 2 * 1.0; // Squares of the amperes in each pair, for 1 A over all.
        var degrees = k * (heat / 4) * Math.Sqrt(hung.BundledCables / 100.0) * Math.Max(1, perMeterAt20 / AwgAt20(usual));
        var worst = (feed == PoeType.Type1 ? 20.0 : 12.5) * ways * (cable.Length.Meters + hung.Cords.Meters) / 100;
        return new SegmentByHand(conductor * ways, copperAt20 * ways * PerDegree * degrees, mode == OperatingMode.Guaranteed ? worst : 0);
    }

    /// <summary>Amperes that a drop drives, and how they change with it.</summary>
    public (double Amperes, double Slope) At(double drop)
    {
        if (Math.Abs(drop / Least) is var held && Cold + (Warming * held * held) <= Least)
        {
            return (drop / Least, 1 / Least);
        }

        // Newton's method on a cubic that only rises.
        var amperes = drop / Cold;
        for (var step = 0; step < 30; step++)
        {
            var change = ((Cold * amperes) + (Warming * amperes * amperes * amperes) - drop) / (Cold + (3 * Warming * amperes * amperes));
            amperes -= change;
            if (Math.Abs(change) <= 1e-14 * Math.Abs(amperes))
            {
                break;
            }
        }

        return (amperes, 1 / (Cold + (3 * Warming * amperes * amperes)));
    }

    public double OhmsAt(double amperes) => Math.Max(Least, Cold + (Warming * amperes * amperes));

    // Wire table of Floyd at HyperPhysics.
    private static double AwgAt20(int gauge) => gauge switch
    {
        22 => 0.05296,
        23 => 0.06679,
        24 => 0.08422,
        _ => 0.1339,
    };
}
