using System.Globalization;

namespace PoeWatch.Domain.Quantities;

/// <summary>A dimensionless share of a whole: 0.2 is 20 %. Immutable and thread safe.</summary>
/// <remarks><c>default</c> is 0. May lie outside 0..1 (a headroom can be negative); NaN and infinity are rejected.</remarks>
public readonly record struct Ratio : IComparable<Ratio>
{
    private readonly double _value;

    private Ratio(double value) => _value = Finite.Checked(value, nameof(Ratio));

    public double Fraction => _value;

    public double Percent => _value * 100.0;

    public static Ratio FromFraction(double value) => new(value);

    public static Ratio FromPercent(double value) => new(value / 100.0);

    public int CompareTo(Ratio other) => _value.CompareTo(other._value);

    public static bool operator <(Ratio a, Ratio b) => a._value < b._value;

    public static bool operator >(Ratio a, Ratio b) => a._value > b._value;

    public override string ToString() => string.Create(CultureInfo.InvariantCulture, $"{Percent:0.#} %");
}
