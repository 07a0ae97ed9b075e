using PoeWatch.Domain.Readings;
using PoeWatch.Simulator.Tests.Support;
using PoeWatch.Snmp;

namespace PoeWatch.Simulator.Tests.Agents;

/// <summary>
/// What the objects mean. Sources: RFC 3621 pethPsePortTable and pethMainPseTable; IEEE Std 802.3.1 pethPsePortActualPower (milliwatts
/// by IEEE 802.3 clause 30.9.1.1); RFC 2863 ifTable and ifXTable; RFC 3418 system group; RFC 3411 snmpEngine group.
/// </summary>
public sealed class PseMibTests
{
    private readonly Conversation _agent = new();

    [Theory]
    [InlineData(1, 3, 5, 1)] // class 6 shows as class4(5): RFC 3621 ends there; critical(1)
    [InlineData(2, 3, 5, 3)] // class 4; low(3)
    [InlineData(3, 3, 5, 2)] // class 8 shows as class4(5); high(2)
    [InlineData(4, 2, 1, 3)] // data side of an injector: searching(2)
    [InlineData(8, 2, 1, 3)] // nothing attached
    public void State_class_and_priority_carry_the_numbers_of_RFC_3621(int port, int state, int classValue, int priority)
    {
        Assert.Equal(SnmpValue.Integer32(1), Port(3, port));
        Assert.Equal(SnmpValue.Integer32(state), Port(6, port));
        Assert.Equal(SnmpValue.Integer32(classValue), Port(10, port));
        Assert.Equal(SnmpValue.Integer32(priority), Port(7, port));
    }

    [Fact]
    public void Counters_count_where_their_trouble_is()
    {
        Assert.Equal(SnmpValue.Counter32(3), Port(14, 6));
        Assert.All([8, 11, 12, 13], column => Assert.Equal(SnmpValue.Counter32(0), Port(column, 6)));
        Assert.Equal(SnmpValue.Counter32(0), Port(14, 1));
    }

    [Fact]
    public void Milliwatts_of_the_ports_add_up_to_the_watts_of_the_group()
    {
        var sum = 0L;
        for (var port = 1; port <= 8; port++)
        {
            Assert.True(_agent.Get($"1.3.111.2.802.3.1.8.1.1.1.15.1.{port}").TryGetInt64(out var milliwatts));
            Assert.Equal(milliwatts > 0, Port(6, port) == SnmpValue.Integer32((int)PortState.Delivering));
            sum += milliwatts;
        }

        Assert.InRange(sum - (_agent.TrueDraw.Watts * 1000), -4, 4);
        Assert.Equal(SnmpValue.Gauge32((uint)Math.Round(sum / 1000.0)), _agent.Get("1.3.6.1.2.1.105.1.3.1.1.4.1"));
        Assert.Equal(SnmpValue.Gauge32(370), _agent.Get("1.3.6.1.2.1.105.1.3.1.1.2.1"));
        Assert.Equal(SnmpValue.Integer32(1), _agent.Get("1.3.6.1.2.1.105.1.3.1.1.3.1"));
        Assert.Equal(SnmpValue.Integer32(80), _agent.Get("1.3.6.1.2.1.105.1.3.1.1.5.1"));
    }

    [Fact]
    public void Interfaces_name_their_port_and_go_up_with_it()
    {
        Assert.Equal(SnmpValue.Text("1/2"), _agent.Get("1.3.6.1.2.1.31.1.1.1.1.2"));
        Assert.Equal(SnmpValue.Text("horn-03"), _agent.Get("1.3.6.1.2.1.31.1.1.1.18.2"));
        Assert.Equal(SnmpValue.Text("inj-07"), _agent.Get("1.3.6.1.2.1.31.1.1.1.18.4"));
        Assert.Equal(SnmpValue.Integer32(1), _agent.Get("1.3.6.1.2.1.2.2.1.8.2"));
        Assert.Equal(SnmpValue.Integer32(1), _agent.Get("1.3.6.1.2.1.2.2.1.8.4"));
        Assert.Equal(SnmpValue.Integer32(2), _agent.Get("1.3.6.1.2.1.2.2.1.8.8"));
        Assert.Equal(SnmpValue.Integer32(9), _agent.Get("1.3.6.1.2.1.2.1.0"));
    }

    [Fact]
    public void The_system_and_the_engine_tell_who_and_how_long()
    {
        Assert.Equal(SnmpValue.TimeTicks(432198), _agent.Get("1.3.6.1.2.1.1.3.0"));
        Assert.Equal(SnmpValue.Text(SmallDesign.Switch), _agent.Get("1.3.6.1.2.1.1.5.0"));
        Assert.Equal(SnmpValue.Integer32(77), _agent.Get("1.3.6.1.6.3.10.2.1.2.0"));
        Assert.Equal(SnmpValue.Integer32(4321), _agent.Get("1.3.6.1.6.3.10.2.1.3.0"));
        // RFC 5612: enterprise 32473 is set aside for examples, so no product is imitated.
        Assert.True(_agent.Get("1.3.6.1.2.1.1.2.0").TryGetOid(out var product));
        Assert.True(product.StartsWith(Oid.Parse("1.3.6.1.4.1.32473")));
        Assert.True(_agent.Get("1.3.6.1.6.3.10.2.1.1.0").TryGetOctets(out var engineId));
        Assert.Equal([0x80, 0, 0x7E, 0xD9, 4], engineId[..5].ToArray());
    }

    private SnmpValue Port(int column, int port) => _agent.Get($"1.3.6.1.2.1.105.1.1.1.{column}.1.{port}");
}
