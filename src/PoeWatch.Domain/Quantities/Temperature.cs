using System.Globalization;

namespace PoeWatch.Domain.Quantities;

/// <summary>Temperature in degrees Celsius. Immutable and thread safe.</summary>
/// <remarks><c>default</c> is 0 C. Takes values from absolute zero up; NaN and infinity are rejected.</remarks>
public readonly record struct Temperature : IComparable<Temperature>
{
    private readonly double _celsius;

    private Temperature(double celsius)
    {
        _celsius = Finite.Checked(celsius, nameof(Temperature));
        ArgumentOutOfRangeException.ThrowIfLessThan(celsius, -273.15);
    }

    public double Celsius => _celsius;

    public static Temperature FromCelsius(double value) => new(value);

    public int CompareTo(Temperature other) => _celsius.CompareTo(other._celsius);

    public override string ToString() => string.Create(CultureInfo.InvariantCulture, $"{_celsius:0.#} C");
}
