using System.Collections.Immutable;
using PoeWatch.Domain.Quantities;

namespace PoeWatch.Domain.Poe;

/// <summary>
/// How a PD says its class before it is fed: a current during each class event of the PSE. Classes 5 to 8 are two currents one after the other: class 4's first, then another's,
/// so the number of events that a PSE makes decides what it can grant. Pure and thread safe.
/// </summary>
public static class Classification
{
    // TI TPS2376-H data sheet, p. 6: what a PD draws during a class event, in mA; classes 0 to 4.
    private static readonly ImmutableArray<(double Lowest, double Highest)> s_milliamperes = [(0, 4), (9, 12), (17, 20), (26, 30), (36, 44)];

    /// <summary>Least and most that a PD of classes 0 to 4 draws during a class event.</summary>
    /// <exception cref="ArgumentOutOfRangeException">Classes 5 to 8 are told by two currents.</exception>
    public static (Current Lowest, Current Highest) CurrentOf(PoeClass poeClass) =>
        poeClass is >= PoeClass.Class0 and <= PoeClass.Class4
            ? (Amperes(s_milliamperes[(int)poeClass].Lowest), Amperes(s_milliamperes[(int)poeClass].Highest))
            : throw new ArgumentOutOfRangeException(nameof(poeClass), poeClass, "Classes 0 to 4 are told by one current.");

    /// <summary>The class that a current stands for; null between two ranges, where a PSE may decide either way.</summary>
    public static PoeClass? ClassOf(Current drawn)
    {
        for (var candidate = PoeClass.Class0; candidate <= PoeClass.Class4; candidate++)
        {
            var (lowest, highest) = CurrentOf(candidate);
            if (drawn >= lowest && drawn <= highest)
            {
                return candidate;
            }
        }

        return null;
    }

    /// <summary>
    /// Class events that a PSE makes to grant a class: TI TPS2373 data sheet, Table 2; four for class 5: TI E2E 743837. A PD that sees fewer was granted less.
    /// </summary>
    public static int EventsFor(PoeClass granted) => granted switch
    {
        <= PoeClass.Class3 => 1,
        PoeClass.Class4 => 2, // Two or three: three from Types 3 and 4.
        <= PoeClass.Class6 => 4,
        _ => 5,
    };

    private static Current Amperes(double milliamperes) => Current.FromAmperes(milliamperes / 1000.0);
}
