using PoeWatch.Domain.Quantities;
using PoeWatch.Domain.Readings;
using PoeWatch.Simulator.Tests.Agents;
using PoeWatch.Simulator.Tests.Support;
using static PoeWatch.Simulator.Tests.Support.SmallDesign;

namespace PoeWatch.Simulator.Tests.Faults;

/// <summary>A UPS on its battery: what it feeds, how long, and what its agent says by RFC 1628.</summary>
public sealed class UpsFaultTests
{
    private const string Battery = "1.3.6.1.2.1.33.1.2.1.0";
    private const string Seconds = "1.3.6.1.2.1.33.1.2.2.0";
    private const string Minutes = "1.3.6.1.2.1.33.1.2.3.0";
    private const string Charge = "1.3.6.1.2.1.33.1.2.4.0";
    private const string Source = "1.3.6.1.2.1.33.1.4.1.0";
    private const string Watts = "1.3.6.1.2.1.33.1.4.4.1.4.1";

    [Fact]
    public void On_battery_the_agent_says_so_and_the_switch_feeds_on()
    {
        var (world, ups) = With(100, "at 60s ups ups-1 on battery\nat 360s ups ups-1 on mains");
        world.GoTo(59);
        // normal(3), batteryNormal(2), no seconds on battery.
        Assert.Equal((3, 2, 0, 100), (ups.Number(Source), ups.Number(Battery), ups.Number(Seconds), ups.Number(Charge)));

        world.GoTo(300);
        Assert.Equal((5, 2, 240), (ups.Number(Source), ups.Number(Battery), ups.Number(Seconds)));
        Assert.Equal(PortState.Delivering, world.StateOf(CameraPort));
        // Energy is power times time, over the inverter: five minutes of what it gives are out of 100 Wh. The load moves by a few watts.
        var drawn = ups.Number(Watts) / 0.9 * 240 / 3600;
        Assert.InRange(ups.Number(Charge), 99 - drawn - 1, 100 - drawn + 1);
        var left = ups.Number(Charge) * 0.9 / ups.Number(Watts) * 60;
        Assert.InRange(ups.Number(Minutes), left - 2, left + 2);

        world.GoTo(365);
        Assert.Equal((3, 0), (ups.Number(Source), ups.Number(Seconds)));
    }

    [Fact]
    public void Its_output_is_what_switch_and_others_take()
    {
        var (world, ups) = With(100, "");
        world.GoTo(30);
        // Supplies of the switch at their usual 90 % (common practice), and the 5 W beside it.
        var group = world.Design.Switches[Switch].Groups[1];
        var expected = (world.World.DrawOf(Switch)!.Value.Watts / group.SupplyEfficiency.Fraction) + 5;
        Assert.InRange(ups.Number(Watts), expected - 1.5, expected + 1.5);
    }

    [Fact]
    public void When_the_site_is_dark_it_lasts_as_long_as_its_battery()
    {
        // Some 60 W out of 1 Wh at 90 %: about a minute.
        var (world, ups) = With(1, "at 30s mains of the site lost\nat 300s mains of the site back");
        world.GoTo(29);
        var lasts = 1 * 0.9 / ups.Number(Watts) * 3600;
        world.GoTo(35);
        Assert.Equal(Power.Zero, world.World.DrawOf("inj-07"));
        Assert.Equal(PortState.Delivering, world.StateOf(CameraPort));
        // batteryLow(3): less than five minutes are left.
        Assert.Equal((5, 3), (ups.Number(Source), ups.Number(Battery)));

        world.GoTo(30 + (lasts * 0.9));
        Assert.Equal(PortState.Delivering, world.StateOf(CameraPort));
        world.GoTo(30 + (lasts * 1.1) + 2);
        Assert.Equal(Power.Zero, world.World.DrawOf(Switch));
        Assert.False(ups.IsAnswered || new Conversation(world.World, Switch).IsAnswered);

        world.GoTo(305);
        Assert.True(ups.IsAnswered);
        Assert.Equal(PortState.Delivering, world.StateOf(CameraPort));
    }

    [Fact]
    public void A_switch_that_loses_its_own_feed_is_dark_whatever_the_battery_has()
    {
        var (world, ups) = With(100, "at 10s mains of quay-west lost");
        world.GoTo(15);
        Assert.Equal(Power.Zero, world.World.DrawOf(Switch));
        Assert.Equal(5, ups.Number(Watts));
    }

    [Fact]
    public void Its_agent_can_fall_silent_like_any_other()
    {
        var (world, ups) = With(100, "at 10s agents ups-1, quay-west silent");
        Assert.True(ups.IsAnswered);
        world.GoTo(15);
        Assert.False(ups.IsAnswered);
        Assert.True(world.World.DrawOf(Switch) > Power.Zero);
    }

    private static (DrivenWorld World, Conversation Ups) With(double wattHours, string script)
    {
        var world = new DrivenWorld(script, Builder().Ups(SmallDesign.Battery(wattHours)).Build());
        return (world, new Conversation(world.World, world.Design.UpsUnits["ups-1"]));
    }
}
