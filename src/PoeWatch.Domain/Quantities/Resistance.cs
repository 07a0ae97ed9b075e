using System.Globalization;

namespace PoeWatch.Domain.Quantities;

/// <summary>Resistance of a whole power path, there and back, as the PSE sees it. Immutable and thread safe.</summary>
/// <remarks>Held in ohms. <c>default</c> is 0 ohm. NaN and infinity are never accepted; negative values are (a margin may be negative).</remarks>
public readonly record struct Resistance : IComparable<Resistance>
{
    private readonly double _si;

    private Resistance(double si) => _si = Finite.Checked(si, nameof(Resistance));

    public static Resistance Zero => default;

    public double Ohms => _si;

    public static Resistance FromOhms(double value) => new(value);

    public int CompareTo(Resistance other) => _si.CompareTo(other._si);

    public static Resistance operator +(Resistance a, Resistance b) => new(a._si + b._si);

    public static Resistance operator -(Resistance a, Resistance b) => new(a._si - b._si);

    public static Resistance operator -(Resistance a) => new(-a._si);

    public static Resistance operator *(Resistance a, double factor) => new(a._si * factor);

    public static Resistance operator *(double factor, Resistance a) => new(a._si * factor);

    public static Resistance operator /(Resistance a, double divisor) => new(a._si / divisor);

    public static double operator /(Resistance a, Resistance b) => a._si / b._si;

    public static bool operator <(Resistance a, Resistance b) => a._si < b._si;

    public static bool operator >(Resistance a, Resistance b) => a._si > b._si;

    public static bool operator <=(Resistance a, Resistance b) => a._si <= b._si;

    public static bool operator >=(Resistance a, Resistance b) => a._si >= b._si;

    public static Resistance Min(Resistance a, Resistance b) => a <= b ? a : b;

    public static Resistance Max(Resistance a, Resistance b) => a >= b ? a : b;

    public override string ToString() => string.Create(CultureInfo.InvariantCulture, $"{_si:0.###} ohm");
}
