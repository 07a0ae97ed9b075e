namespace PoeWatch.Domain.PowerFlow;

/// <summary>One limit in bare numbers, cheap enough to be looked at in every step of a search.</summary>
/// <param name="Place">Index of the place it belongs to; for limits of cables, of the segment that feeds it.</param>
/// <param name="Output">Output of the place, or 0: a free one where a further load would hang, or none.</param>
/// <param name="Limit">In the unit of the kind.</param>
/// <param name="Value">In the unit of the kind.</param>
internal readonly record struct LimitCheck(LimitKind Kind, int Place, int Output, double Limit, double Value)
{
    /// <summary>A limit of no output that has a number.</summary>
    internal LimitCheck(LimitKind kind, int place, double limit, double value)
        : this(kind, place, 0, limit, value)
    {
    }

    // Below this share of a limit lies only the rounding of doubles: 50 V - 0.6 A x 12.5 ohm is 42.5 V, not less.
    private const double Rounding = 1e-9;

    // The class table is itself rounded: 71.3 W behind 6.25 ohm at 52 V are 90.04 W at the PSE, 40 W at 50 V are 45.08 W, yet 90 W and
    // 45 W are what the standard asks of the PSE. In guaranteed mode a system that just conforms must not count as broken.
    private const double TableRounding = 0.002;

    /// <summary>True where breaking it warns people but proves no failure: no design is refused for it and no headroom counts it.</summary>
    internal bool IsAdvice { get; init; }

    internal bool IsFloor => Kind == LimitKind.PdVoltage;

    /// <summary>Share of the limit by which the value is beyond it; negative where it is within.</summary>
    internal double Beyond => IsFloor
        ? (Limit - Value) / Limit
        : Limit > 0.0 ? (Value - Limit) / Limit : Value - Limit;

    /// <summary>True where not one more watt may come.</summary>
    internal bool IsExceeded => Beyond > Rounding;

    /// <summary>True where people must be told.</summary>
    internal bool IsBroken(OperatingMode mode) =>
        Beyond > (mode == OperatingMode.Guaranteed && IsPseOutput ? TableRounding : Rounding);

    private bool IsPseOutput =>
        Kind is LimitKind.PsePort or LimitKind.InjectorRating or LimitKind.ExtenderOutput or LimitKind.PassThroughOutput
            or LimitKind.ExtendedPower;
}
