using PoeWatch.Domain.Quantities;

namespace PoeWatch.Domain.Tests.Quantities;

/// <summary>Units that multiply as physics has it, and refuse what is no number.</summary>
public sealed class QuantityTests
{
    [Fact]
    public void Volts_times_amperes_are_watts_and_ohms_times_amperes_are_volts()
    {
        Assert.Equal(27.0, (Voltage.FromVolts(54) * Current.FromAmperes(0.5)).Watts);
        Assert.Equal(27.0, (Current.FromAmperes(0.5) * Voltage.FromVolts(54)).Watts);
        Assert.Equal(6.25, (Current.FromAmperes(0.5) * Resistance.FromOhms(12.5)).Volts);
        Assert.Equal(0.5, (Power.FromWatts(27) / Voltage.FromVolts(54)).Amperes);
        Assert.Equal(12.5, (Voltage.FromVolts(6.25) / Current.FromAmperes(0.5)).Ohms);
    }

    [Theory]
    [InlineData(double.NaN)]
    [InlineData(double.PositiveInfinity)]
    [InlineData(double.NegativeInfinity)]
    public void What_is_no_finite_number_is_no_quantity(double value)
    {
        Assert.Throws<ArgumentOutOfRangeException>(() => Power.FromWatts(value));
        Assert.Throws<ArgumentOutOfRangeException>(() => Voltage.FromVolts(value));
        Assert.Throws<ArgumentOutOfRangeException>(() => Current.FromAmperes(value));
        Assert.Throws<ArgumentOutOfRangeException>(() => Resistance.FromOhms(value));
        Assert.Throws<ArgumentOutOfRangeException>(() => Length.FromMeters(value));
        Assert.Throws<ArgumentOutOfRangeException>(() => Temperature.FromCelsius(value));
        Assert.Throws<ArgumentOutOfRangeException>(() => Ratio.FromFraction(value));
    }

    [Fact]
    public void Division_by_nothing_is_refused_not_infinite() =>
        Assert.Throws<ArgumentOutOfRangeException>(() => Power.FromWatts(1) / Voltage.Zero);

    [Fact]
    public void Nothing_is_colder_than_absolute_zero()
    {
        Assert.Equal(-273.15, Temperature.FromCelsius(-273.15).Celsius);
        Assert.Throws<ArgumentOutOfRangeException>(() => Temperature.FromCelsius(-273.16));
    }

    [Theory]
    [InlineData(0.0004, 0)]
    [InlineData(0.0005, 1)]
    [InlineData(-0.0005, -1)]
    [InlineData(12.9504, 12950)]
    public void Milliwatts_are_rounded_half_away_from_zero(double watts, long milliwatts)
    {
        Assert.Equal(milliwatts, Power.FromWatts(watts).Milliwatts);
        Assert.Equal(milliwatts / 1000.0, Power.FromMilliwatts(milliwatts).Watts);
    }

    [Fact]
    public void Quantities_add_compare_and_print_with_their_unit()
    {
        var (small, large) = (Power.FromWatts(12.95), Power.FromWatts(25.5));

        Assert.Equal(38.45, (small + large).Watts, 1e-12);
        Assert.Equal(-12.55, (small - large).Watts, 1e-12);
        Assert.True(small < large && large >= small && small != large);
        Assert.Equal((large, small), (Power.Max(small, large), Power.Min(small, large)));
        Assert.Equal("12.95 W", small.ToString());
        Assert.Equal("20 %", Ratio.FromFraction(0.2).ToString());
        Assert.Equal(default, Power.Zero);
    }
}
