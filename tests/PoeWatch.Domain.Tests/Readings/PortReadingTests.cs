using PoeWatch.Domain.Poe;
using PoeWatch.Domain.Quantities;
using PoeWatch.Domain.Readings;

namespace PoeWatch.Domain.Tests.Readings;

/// <summary>Goal: what is unknown of a port stays unknown and never turns into 0, however it is held. Method: each number given, missing and zero.</summary>
public class PortReadingTests
{
    private static readonly PsePortRef s_port = new("quay", 1, 7);

    [Fact]
    public void Missing_numbers_stay_missing_and_zero_stays_zero()
    {
        PortReading nothing = PortReading.Nothing(s_port);
        PortReading zero = new(s_port, PortState.Searching, Power.Zero, Provenance.Off, PoeClass.Class0) { Resolution = Power.Zero, Age = TimeSpan.Zero };

        Assert.Equal((null, null, null, null, null), (nothing.DrawAtPse, nothing.Resolution, nothing.Age, nothing.AssignedClass, nothing.Draw));
        Assert.Equal((Power.Zero, Power.Zero, TimeSpan.Zero, PoeClass.Class0), (zero.DrawAtPse, zero.Resolution, zero.Age, zero.AssignedClass));
    }

    [Fact]
    public void Numbers_come_back_as_they_were_given()
    {
        foreach (PoeClass assigned in Enum.GetValues<PoeClass>())
        {
            PortReading reading = new(s_port, PortState.Delivering, Power.FromWatts(12.345), Provenance.Measured, assigned)
            {
                Resolution = Power.FromWatts(0.001),
                Age = TimeSpan.FromSeconds(3),
            };

            Assert.Equal((12.345, 0.001, TimeSpan.FromSeconds(3), assigned), (reading.DrawAtPse?.Watts, reading.Resolution?.Watts, reading.Age, reading.AssignedClass));
        }
    }

    [Fact]
    public void Readings_are_alike_where_all_that_they_say_is()
    {
        PortReading one = PortReading.Nothing(s_port);
        PortReading other = PortReading.Nothing(s_port) with { DrawAtPse = Power.Zero, Age = TimeSpan.Zero };

        Assert.Equal(one, PortReading.Nothing(s_port));
        Assert.NotEqual(one, other);
        Assert.Equal(one, other with { DrawAtPse = null, Age = null });
        Assert.NotEqual(one, one with { AssignedClass = PoeClass.Class0 });
        Assert.NotEqual(one, one with { Resolution = Power.Zero });
    }
}
