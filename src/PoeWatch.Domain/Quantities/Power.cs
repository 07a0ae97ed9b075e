using System.Globalization;

namespace PoeWatch.Domain.Quantities;

/// <summary>Electrical power. Say in the name of a value where it is taken: at the PSE or at the PD. Immutable and thread safe.</summary>
/// <remarks>Held in watts. <c>default</c> is 0 W. NaN and infinity are never accepted; negative values are (a margin may be negative).</remarks>
public readonly record struct Power : IComparable<Power>
{
    private readonly double _si;

    private Power(double si) => _si = Finite.Checked(si, nameof(Power));

    public static Power Zero => default;

    public double Watts => _si;

    public static Power FromWatts(double value) => new(value);

    /// <summary>Whole milliwatts, rounded half away from zero: the resolution that history keeps.</summary>
    public long Milliwatts => (long)Math.Round(_si * 1000.0, MidpointRounding.AwayFromZero);

    public static Power FromMilliwatts(double value) => new(value / 1000.0);

    public static Current operator /(Power p, Voltage v) => Current.FromAmperes(p._si / v.Volts);

    public int CompareTo(Power other) => _si.CompareTo(other._si);

    public static Power operator +(Power a, Power b) => new(a._si + b._si);

    public static Power operator -(Power a, Power b) => new(a._si - b._si);

    public static Power operator -(Power a) => new(-a._si);

    public static Power operator *(Power a, double factor) => new(a._si * factor);

    public static Power operator *(double factor, Power a) => new(a._si * factor);

    public static Power operator /(Power a, double divisor) => new(a._si / divisor);

    public static double operator /(Power a, Power b) => a._si / b._si;

    public static bool operator <(Power a, Power b) => a._si < b._si;

    public static bool operator >(Power a, Power b) => a._si > b._si;

    public static bool operator <=(Power a, Power b) => a._si <= b._si;

    public static bool operator >=(Power a, Power b) => a._si >= b._si;

    public static Power Min(Power a, Power b) => a <= b ? a : b;

    public static Power Max(Power a, Power b) => a >= b ? a : b;

    public override string ToString() => string.Create(CultureInfo.InvariantCulture, $"{_si:0.###} W");
}
