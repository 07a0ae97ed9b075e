using PoeWatch.Monitoring.Polling.Thermometers;

namespace PoeWatch.Monitoring.Tests.Polling.Thermometers;

/// <summary>Codes and meanings are those of RFC 3433 (EntitySensorDataType, DataScale, Precision, Value, Status).</summary>
public sealed class ThermometerDecoderTests
{
    [Theory]
    // Units with no, one and three decimals; milli degrees; kilo stands for nothing in the air but is lawful.
    [InlineData(9, 0, 23, 23.0)]
    [InlineData(9, 1, -105, -10.5)]
    [InlineData(9, 3, 4_250, 4.25)]
    [InlineData(8, 0, 21_375, 21.375)]
    [InlineData(8, 1, 213_750, 21.375)]
    [InlineData(10, 5, 2_150, 21.5)]
    // A negative precision tells how many digits are accurate; RFC 3433 moves no decimal point for it.
    [InlineData(9, -2, 23, 23.0)]
    public void Scale_and_decimals_make_degrees(int scale, int precision, int shown, double celsius)
    {
        var temperature = ThermometerDecoder.Decode(Row(scale: scale, precision: precision, shown: shown), out var problem);
        Assert.Equal(celsius, temperature!.Value.Celsius, 9);
        Assert.Empty(problem);
    }

    [Fact]
    public void What_agents_should_not_send_is_no_temperature_and_says_why()
    {
        ThermometerRow[] rows =
        [
            default,
            Row(kind: 6), Row(kind: 1), Row(kind: null),
            Row(status: 2), Row(status: 3), Row(status: null),
            Row(scale: 0), Row(scale: 18), Row(scale: null), Row(precision: 10), Row(precision: -9), Row(precision: null),
            Row(shown: null), Row(shown: 1_000_000_000), Row(shown: -1_000_000_000),
            Row(shown: 21_375), Row(scale: 10, shown: 20), Row(shown: -120),
        ];
        Assert.All(rows, row =>
        {
            Assert.Null(ThermometerDecoder.Decode(row, out var problem));
            Assert.NotEmpty(problem);
        });
    }

    [Fact]
    public void Zero_degrees_is_a_temperature() => Assert.Equal(0, ThermometerDecoder.Decode(Row(shown: 0), out _)!.Value.Celsius);

    private static ThermometerRow Row(long? kind = 8, long? scale = 9, long? precision = 0, long? shown = 20, long? status = 1) =>
        new(kind, scale, precision, shown, status, "degrees Celsius");
}
