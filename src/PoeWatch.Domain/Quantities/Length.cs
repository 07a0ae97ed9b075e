using System.Globalization;

namespace PoeWatch.Domain.Quantities;

/// <summary>Length of cable or fibre. Immutable and thread safe.</summary>
/// <remarks>Held in metres. <c>default</c> is 0 m. NaN and infinity are never accepted; negative values are (a margin may be negative).</remarks>
public readonly record struct Length : IComparable<Length>
{
    private readonly double _si;

    private Length(double si) => _si = Finite.Checked(si, nameof(Length));

    public static Length Zero => default;

    public double Meters => _si;

    public static Length FromMeters(double value) => new(value);

    public int CompareTo(Length other) => _si.CompareTo(other._si);

    public static Length operator +(Length a, Length b) => new(a._si + b._si);

    public static Length operator -(Length a, Length b) => new(a._si - b._si);

    public static Length operator -(Length a) => new(-a._si);

    public static Length operator *(Length a, double factor) => new(a._si * factor);

    public static Length operator *(double factor, Length a) => new(a._si * factor);

    public static Length operator /(Length a, double divisor) => new(a._si / divisor);

    public static double operator /(Length a, Length b) => a._si / b._si;

    public static bool operator <(Length a, Length b) => a._si < b._si;

    public static bool operator >(Length a, Length b) => a._si > b._si;

    public static bool operator <=(Length a, Length b) => a._si <= b._si;

    public static bool operator >=(Length a, Length b) => a._si >= b._si;

    public static Length Min(Length a, Length b) => a <= b ? a : b;

    public static Length Max(Length a, Length b) => a >= b ? a : b;

    public override string ToString() => string.Create(CultureInfo.InvariantCulture, $"{_si:0.###} m");
}
