using System.Globalization;

namespace PoeWatch.Domain.Quantities;

/// <summary>Direct current through a power path (all pairs together unless the name says otherwise). Immutable and thread safe.</summary>
/// <remarks>Held in amperes. <c>default</c> is 0 A. NaN and infinity are never accepted; negative values are (a margin may be negative).</remarks>
public readonly record struct Current : IComparable<Current>
{
    private readonly double _si;

    private Current(double si) => _si = Finite.Checked(si, nameof(Current));

    public static Current Zero => default;

    public double Amperes => _si;

    public static Current FromAmperes(double value) => new(value);

    public static Voltage operator *(Current i, Resistance r) => Voltage.FromVolts(i._si * r.Ohms);

    public static Power operator *(Current i, Voltage v) => v * i;

    public int CompareTo(Current other) => _si.CompareTo(other._si);

    public static Current operator +(Current a, Current b) => new(a._si + b._si);

    public static Current operator -(Current a, Current b) => new(a._si - b._si);

    public static Current operator -(Current a) => new(-a._si);

    public static Current operator *(Current a, double factor) => new(a._si * factor);

    public static Current operator *(double factor, Current a) => new(a._si * factor);

    public static Current operator /(Current a, double divisor) => new(a._si / divisor);

    public static double operator /(Current a, Current b) => a._si / b._si;

    public static bool operator <(Current a, Current b) => a._si < b._si;

    public static bool operator >(Current a, Current b) => a._si > b._si;

    public static bool operator <=(Current a, Current b) => a._si <= b._si;

    public static bool operator >=(Current a, Current b) => a._si >= b._si;

    public static Current Min(Current a, Current b) => a <= b ? a : b;

    public static Current Max(Current a, Current b) => a >= b ? a : b;

    public override string ToString() => string.Create(CultureInfo.InvariantCulture, $"{_si:0.###} A");
}
