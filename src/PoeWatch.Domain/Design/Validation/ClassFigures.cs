using PoeWatch.Domain.Poe;
using PoeWatch.Domain.Quantities;

namespace PoeWatch.Domain.Design.Validation;

/// <summary>Watts of the IEEE 802.3 classes 0 to 8: least output of the PSE and most input of the PD.</summary>
internal static class ClassFigures
{
    private static readonly double[] PseWatts = [15.4, 4, 7, 15.4, 30, 45, 60, 75, 90];
    private static readonly double[] PdWatts = [12.95, 3.84, 6.49, 12.95, 25.5, 40, 51, 62, 71.3];

    public static Power PseMinimum(PoeClass poeClass) => Power.FromWatts(PseWatts[(int)poeClass]);

    public static Power PdMaximum(PoeClass poeClass) => Power.FromWatts(PdWatts[(int)poeClass]);

    /// <summary>Highest class whose least output the limit covers; class 1 at least.</summary>
    public static PoeClass GrantableAt(Power limit)
    {
        for (var poeClass = PoeClass.Class8; poeClass > PoeClass.Class1; poeClass--)
        {
            if (PseMinimum(poeClass) <= limit)
            {
                return poeClass;
            }
        }

        return PoeClass.Class1;
    }

    /// <summary>Lowest type that delivers so much: 15.4 W, 30 W, 60 W, above.</summary>
    public static PoeType TypeFor(Power limit) => limit.Watts switch
    {
        <= 15.4 => PoeType.Type1,
        <= 30 => PoeType.Type2,
        <= 60 => PoeType.Type3,
        _ => PoeType.Type4,
    };

    /// <summary>Most that a port of the type grants where the design says nothing else.</summary>
    public static Power LimitOf(PoeType type) => Power.FromWatts(type switch
    {
        PoeType.Type1 => 15.4,
        PoeType.Type2 => 30,
        PoeType.Type3 => 60,
        _ => 90,
    });

    /// <summary>Volts to expect at the PSE: 48 V of the first type, 54 V of the later ones (common practice, no source).</summary>
    public static Voltage NominalVolts(PoeType type) => Voltage.FromVolts(type == PoeType.Type1 ? 48 : 54);
}
