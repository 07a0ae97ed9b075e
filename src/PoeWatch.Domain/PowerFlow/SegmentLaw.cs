namespace PoeWatch.Domain.PowerFlow;

/// <summary>
/// Resistance of a segment in dependence on the current that warms it in its bundle: warmth grows with the square of the current, resistance with warmth. Never below
/// what the operating mode reckons with. Immutable and thread safe; <c>default</c> is no resistance.
/// </summary>
/// <param name="BaseOhms">Loop over the powered pairs without current, cords and contacts included.</param>
/// <param name="OhmsPerSquareAmpere">What the heat of the bundle adds; 0 where there is no bundle.</param>
/// <param name="LeastOhms">Worst channel of the standard in guaranteed mode, else 0.</param>
/// <param name="DegreesPerSquareAmpere">By how much the current over all pairs warms the conductors; 0 where there is no bundle.</param>
internal readonly record struct SegmentLaw(double BaseOhms, double OhmsPerSquareAmpere, double LeastOhms, double DegreesPerSquareAmpere)
{
    internal bool IsWarmedByCurrent => DegreesPerSquareAmpere > 0.0;

    /// <summary>
    /// The drop as a straight line that touches it at a current: slope times the current less the lift. The drop is convex, so the line lies below it everywhere.
    /// </summary>
    internal (double SlopeOhms, double LiftVolts) TangentAt(double amperes)
    {
        var square = amperes * amperes;
        return BaseOhms + (OhmsPerSquareAmpere * square) >= LeastOhms
            ? (BaseOhms + (3.0 * OhmsPerSquareAmpere * square), 2.0 * OhmsPerSquareAmpere * square * amperes)
            : (LeastOhms, 0.0);
    }

    internal double OhmsAt(double amperes) => Math.Max(LeastOhms, BaseOhms + (OhmsPerSquareAmpere * amperes * amperes));
}
