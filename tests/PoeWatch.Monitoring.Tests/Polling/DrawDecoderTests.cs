using PoeWatch.Domain.Poe;
using PoeWatch.Domain.Quantities;
using PoeWatch.Domain.Readings;
using PoeWatch.Monitoring.Polling;
using PoeWatch.Monitoring.Polling.DrawSources;

namespace PoeWatch.Monitoring.Tests.Polling;

public class DrawDecoderTests
{
    private static readonly PsePortRef Port = new("quay", 1, 7);

    // RFC 3621, pethPsePortDetectionStatus: deliveringPower(3), searching(2), disabled(1), fault(4), test(5), otherFault(6).
    [Theory]
    [InlineData(1, PortState.Disabled)]
    [InlineData(2, PortState.Searching)]
    [InlineData(3, PortState.Delivering)]
    [InlineData(4, PortState.Fault)]
    [InlineData(5, PortState.Test)]
    [InlineData(6, PortState.OtherFault)]
    [InlineData(0, PortState.Unknown)]
    [InlineData(7, PortState.Unknown)]
    public void Port_states_carry_the_numbers_of_the_MIB(long raw, PortState expected) => Assert.Equal(expected, DrawDecoder.State(raw));

    // RFC 3621, pethPsePortPowerClassifications: class0(1) … class4(5), so the value is class + 1.
    [Theory]
    [InlineData(1, PoeClass.Class0)]
    [InlineData(5, PoeClass.Class4)]
    [InlineData(9, PoeClass.Class8)]
    public void Classes_are_coded_one_above_their_number(long raw, PoeClass expected) => Assert.Equal(expected, DrawDecoder.AssignedClass(raw));

    [Fact]
    public void A_measured_draw_is_measured()
    {
        PortReading reading = Read(3, 4, Measured(12.345), PoeType.Type2);

        Assert.Equal((12_345, Provenance.Measured, PoeClass.Class3), (reading.DrawAtPse!.Value.Milliwatts, reading.Provenance, reading.AssignedClass));
    }

    [Fact]
    public void Without_a_measurement_the_class_bounds_the_draw_and_is_no_draw()
    {
        PortReading reading = Read(3, 4, default, PoeType.Type2);

        // IEEE 802.3 class 3: at least 15.4 W at the PSE.
        Assert.Equal((15.4, Provenance.ClassBound), (reading.DrawAtPse!.Value.Watts, reading.Provenance));
        Assert.Null(reading.Draw);
    }

    [Theory]
    [InlineData(PoeType.Type3)]
    [InlineData(PoeType.Type4)]
    [InlineData(PoeType.Unknown)]
    public void Class_4_bounds_nothing_where_the_port_may_grant_more_than_RFC_3621_can_say(PoeType type)
    {
        PortReading reading = Read(3, 5, default, type);

        Assert.Equal((null, Provenance.Unknown), (reading.DrawAtPse, reading.Provenance));
    }

    [Fact]
    public void A_port_that_does_not_deliver_draws_nothing_as_a_fact()
    {
        PortReading reading = Read(2, null, default, PoeType.Type2);

        Assert.Equal((Power.Zero, Provenance.Off), (reading.DrawAtPse, reading.Provenance));
    }

    [Fact]
    public void A_port_that_says_nothing_is_unknown_and_not_zero()
    {
        PortReading reading = Read(null, null, default, PoeType.Type2);

        Assert.Equal((null, Provenance.Unknown, PortState.Unknown), (reading.DrawAtPse, reading.Provenance, reading.State));
    }

    [Fact]
    public void A_draw_on_a_port_said_to_be_searching_is_not_hidden()
    {
        Assert.Equal(Provenance.Measured, Read(2, null, Measured(4), PoeType.Type2).Provenance);
    }

    [Fact]
    public void A_ceiling_of_a_port_that_does_not_deliver_says_nothing_of_it()
    {
        var allocated = new PortDraw(Power.FromWatts(15.4), Provenance.Allocated, Power.FromWatts(0.1), TimeSpan.Zero);

        Assert.Equal((Power.Zero, Provenance.Off), (Read(2, null, allocated, PoeType.Type2).DrawAtPse, Read(2, null, allocated, PoeType.Type2).Provenance));
        Assert.Equal(Provenance.Allocated, Read(3, 4, allocated, PoeType.Type2).Provenance);
    }

    [Fact]
    public void A_reading_says_its_source_its_step_and_its_age()
    {
        PortReading reading = DrawDecoder.Port(
            Port, PortState.Delivering, PoeClass.Class3, new PortDraw(Power.FromWatts(5), Provenance.Measured, Power.FromWatts(0.1), TimeSpan.FromSeconds(7)), "a sheet",
            PoeType.Type2);

        Assert.Equal(("a sheet", 0.1, 7.0), (reading.Source, reading.Resolution!.Value.Watts, reading.Age!.Value.TotalSeconds));
    }

    private static PortDraw Measured(double watts) => new(Power.FromWatts(watts), Provenance.Measured, Power.FromMilliwatts(1), TimeSpan.Zero);

    private static PortReading Read(long? rawState, long? rawClass, PortDraw known, PoeType type) =>
        DrawDecoder.Port(Port, DrawDecoder.State(rawState), DrawDecoder.AssignedClass(rawClass), known, "test", type);
}
