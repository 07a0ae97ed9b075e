using PoeWatch.Domain.Quantities;

namespace PoeWatch.Domain.Poe;

/// <summary>
/// What a PD may take for moments above its class power, at its input. A peak lasts at most <see cref="Longest"/> and peaks make up at most
/// <see cref="DutyCycle"/> of the time. Pure and thread safe.
/// </summary>
public static class PeakPower
{
    /// <summary>The least time after which a PSE may cut an overload off (TCUT): 50 ms, from memory.</summary>
    public static TimeSpan Longest { get; } = TimeSpan.FromMilliseconds(50);

    /// <summary>5 %: IEEE 802.3cq-2020, clause 33.3.7.4, as quoted by others.</summary>
    public static Ratio DutyCycle { get; } = Ratio.FromFraction(0.05);

    // Factors on the class power, and the tabled watts of classes 0 to 3: IEEE 802.3, from memory.
    private const double Class4Factor = 1.11;
    private const double HigherFactor = 1.05;
    private const double Class1Watts = 5.00;
    private const double Class2Watts = 8.36;
    private const double Class3Watts = 14.4;

    /// <summary>Highest peak of a class at the PD's input.</summary>
    /// <exception cref="ArgumentOutOfRangeException">No such class.</exception>
    public static Power Of(PoeClass poeClass) => poeClass switch
    {
        PoeClass.Class1 => Power.FromWatts(Class1Watts),
        PoeClass.Class2 => Power.FromWatts(Class2Watts),
        PoeClass.Class0 or PoeClass.Class3 => Power.FromWatts(Class3Watts),
        PoeClass.Class4 => PoeTables.LimitsOf(poeClass, PoeClause.Clause145).PdMaximumInput * Class4Factor,
        _ => PoeTables.LimitsOf(poeClass, PoeClause.Clause145).PdMaximumInput * HigherFactor,
    };

    /// <summary>True where a peak stays within what the class allows: not too high, not too long, not too often.</summary>
    /// <param name="each">Length of each peak.</param>
    /// <param name="period">From the start of one to the start of the next; above 0.</param>
    public static bool IsAllowed(PoeClass poeClass, Power peak, TimeSpan each, TimeSpan period)
    {
        ArgumentOutOfRangeException.ThrowIfLessThanOrEqual(period, TimeSpan.Zero);
        return peak <= PoeTables.LimitsOf(poeClass, PoeClause.Clause145).PdMaximumInput
            || (peak <= Of(poeClass) && each <= Longest && each <= period * DutyCycle.Fraction);
    }
}
