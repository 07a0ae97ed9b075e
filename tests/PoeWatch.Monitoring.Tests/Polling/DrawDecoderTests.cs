using PoeWatch.Domain.Design;
using PoeWatch.Domain.Poe;
using PoeWatch.Domain.Quantities;
using PoeWatch.Domain.Readings;
using PoeWatch.Monitoring.Polling;
using PoeWatch.Snmp;

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
        PortReading reading = DrawDecoder.Port(Port, 3, 4, Power.FromMilliwatts(12_345), PoeType.Type2);

        Assert.Equal((12_345, Provenance.Measured, PoeClass.Class3), (reading.DrawAtPse!.Value.Milliwatts, reading.Provenance, reading.AssignedClass));
    }

    [Fact]
    public void Without_a_measurement_the_class_bounds_the_draw_and_is_no_draw()
    {
        PortReading reading = DrawDecoder.Port(Port, 3, 4, null, PoeType.Type2);

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
        PortReading reading = DrawDecoder.Port(Port, 3, 5, null, type);

        Assert.Equal((null, Provenance.Unknown), (reading.DrawAtPse, reading.Provenance));
    }

    [Fact]
    public void A_port_that_does_not_deliver_draws_nothing_as_a_fact()
    {
        PortReading reading = DrawDecoder.Port(Port, 2, null, null, PoeType.Type2);

        Assert.Equal((Power.Zero, Provenance.Off), (reading.DrawAtPse, reading.Provenance));
    }

    [Fact]
    public void A_port_that_says_nothing_is_unknown_and_not_zero()
    {
        PortReading reading = DrawDecoder.Port(Port, null, null, null, PoeType.Type2);

        Assert.Equal((null, Provenance.Unknown, PortState.Unknown), (reading.DrawAtPse, reading.Provenance, reading.State));
    }

    [Fact]
    public void A_draw_on_a_port_said_to_be_searching_is_not_hidden()
    {
        Assert.Equal(Provenance.Measured, DrawDecoder.Port(Port, 2, null, Power.FromWatts(4), PoeType.Type2).Provenance);
    }

    [Fact]
    public void Columns_are_read_in_their_unit()
    {
        Assert.Equal(4.5, DrawDecoder.Column(SnmpValue.Gauge32(4500), DrawUnit.Milliwatt)!.Value.Watts);
        Assert.Equal(4.5, DrawDecoder.Column(SnmpValue.Integer32(45), DrawUnit.Deciwatt)!.Value.Watts);
        Assert.Equal(45, DrawDecoder.Column(SnmpValue.Integer32(45), DrawUnit.Watt)!.Value.Watts);
    }

    [Fact]
    public void Numbers_as_text_are_read_whatever_pads_them()
    {
        Assert.Equal(2.3, DrawDecoder.Column(SnmpValue.Text(" 2.3\0"), DrawUnit.Watt)!.Value.Watts);
    }

    [Fact]
    public void What_is_no_number_of_watts_is_not_read_as_one()
    {
        Assert.Null(DrawDecoder.Column(SnmpValue.Integer32(-1), DrawUnit.Milliwatt));
        Assert.Null(DrawDecoder.Column(SnmpValue.Text("n/a"), DrawUnit.Watt));
        Assert.Null(DrawDecoder.Column(SnmpValue.NoSuchInstance, DrawUnit.Watt));
        Assert.Null(DrawDecoder.Column(SnmpValue.Integer32(5), DrawUnit.Unknown));
        Assert.Null(DrawDecoder.Column(SnmpValue.Counter64(ulong.MaxValue / 4), DrawUnit.Watt));
        Assert.Null(DrawDecoder.Column(SnmpValue.Integer32(25_000), DrawUnit.Watt));
        Assert.Equal(200, DrawDecoder.Column(SnmpValue.Integer32(200_000), DrawUnit.Milliwatt)!.Value.Watts);
    }
}
