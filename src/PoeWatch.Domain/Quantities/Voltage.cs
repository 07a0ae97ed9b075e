using System.Globalization;

namespace PoeWatch.Domain.Quantities;

/// <summary>Direct voltage between the two conductors of a power path. Immutable and thread safe.</summary>
/// <remarks>Held in volts. <c>default</c> is 0 V. NaN and infinity are never accepted; negative values are (a margin may be negative).</remarks>
public readonly record struct Voltage : IComparable<Voltage>
{
    private readonly double _si;

    private Voltage(double si) => _si = Finite.Checked(si, nameof(Voltage));

    public static Voltage Zero => default;

    public double Volts => _si;

    public static Voltage FromVolts(double value) => new(value);

    public static Power operator *(Voltage v, Current i) => Power.FromWatts(v._si * i.Amperes);

    public static Resistance operator /(Voltage v, Current i) => Resistance.FromOhms(v._si / i.Amperes);

    public int CompareTo(Voltage other) => _si.CompareTo(other._si);

    public static Voltage operator +(Voltage a, Voltage b) => new(a._si + b._si);

    public static Voltage operator -(Voltage a, Voltage b) => new(a._si - b._si);

    public static Voltage operator -(Voltage a) => new(-a._si);

    public static Voltage operator *(Voltage a, double factor) => new(a._si * factor);

    public static Voltage operator *(double factor, Voltage a) => new(a._si * factor);

    public static Voltage operator /(Voltage a, double divisor) => new(a._si / divisor);

    public static double operator /(Voltage a, Voltage b) => a._si / b._si;

    public static bool operator <(Voltage a, Voltage b) => a._si < b._si;

    public static bool operator >(Voltage a, Voltage b) => a._si > b._si;

    public static bool operator <=(Voltage a, Voltage b) => a._si <= b._si;

    public static bool operator >=(Voltage a, Voltage b) => a._si >= b._si;

    public static Voltage Min(Voltage a, Voltage b) => a <= b ? a : b;

    public static Voltage Max(Voltage a, Voltage b) => a >= b ? a : b;

    public override string ToString() => string.Create(CultureInfo.InvariantCulture, $"{_si:0.###} V");
}
