using PoeWatch.Domain.Poe;
using PoeWatch.Domain.PowerFlow;
using PoeWatch.Domain.Quantities;
using PoeWatch.Domain.Readings;
using PoeWatch.Simulator.Faults;
using PoeWatch.Simulator.Tests.Agents;
using PoeWatch.Simulator.Tests.Support;
using PoeWatch.Simulator.World;
using PoeWatch.Snmp;
using static PoeWatch.Simulator.Tests.Support.SmallDesign;

namespace PoeWatch.Simulator.Tests.Faults;

/// <summary>Wet joints, exchanged devices and wrong classes: what the world makes of them and what a manager sees.</summary>
public sealed class CableFaultTests
{
    private const string Watts = "1.3.111.2.802.3.1.8.1.1.1.15.1.";
    private const string Class = "1.3.6.1.2.1.105.1.1.1.10.1.";
    private const string Overloads = "1.3.6.1.2.1.105.1.1.1.13.1.";

    /// <summary>
    /// The draw at a PSE by the equation of a loop with a load of constant power, P = V (V - sqrt(V² - 4 R p)) / (2 R), and 66.79 ohm/km of 23 AWG (wire table of Floyd at
    /// HyperPhysics): 90 m over four pairs is half of one conductor.
    /// </summary>
    [Theory]
    [InlineData("gains 2.5 ohm", 2.5, 20)]
    [InlineData("gains 0 ohm", 0, 20)]
    [InlineData("gains 0.1 ohm/d", 1.0, (10 * 86400) + 10)]
    public void A_joint_heats_by_the_equation_of_the_loop(string words, double ohms, double seconds)
    {
        var world = new DrivenWorld($"at 0s device ptz-01 draws 30 W\nat 10s segment quay-west:1/1-ptz-01 {words}\nat 20d segment quay-west:1/1-ptz-01 as designed");
        var manager = new Conversation(world.World, Switch);
        var volts = world.Design.CableRuns.Values.Single(run => run.Root.ElementId == "ptz-01").Source.NominalVoltage.Volts;
        var designed = AtPse(volts, 0.5 * 90 * 0.06679, 30);
        Assert.Equal(designed, world.JumpTo(TimeSpan.FromSeconds(9)).Port(CameraPort).Draw.Watts, 3);

        world.JumpTo(TimeSpan.FromSeconds(seconds));
        var grown = AtPse(volts, (0.5 * 90 * 0.06679) + ohms, 30);
        Assert.Equal(grown, world.Port(CameraPort).Draw.Watts, 3);
        Assert.Equal(grown * 1000, manager.Number(Watts + "1"), 0.51);

        world.JumpTo(TimeSpan.FromDays(20));
        Assert.Equal(designed, world.Port(CameraPort).Draw.Watts, 3);
    }

    [Fact]
    public void A_slow_growth_goes_on_from_what_was_gained()
    {
        var script = FaultScriptText.Read(
            "at 1d segment quay-west:1/1-ptz-01 gains 2 ohm\nat 3d segment quay-west:1/1-ptz-01 gains 0.5 ohm/d\nat 7d segment quay-west:1/1-ptz-01 gains 0.25 ohm/d", Build()).Script!;
        Assert.Equal(2, script.At(TimeSpan.FromDays(2)).Joints.Values.Single().At(TimeSpan.FromDays(2)).Ohms, 9);
        Assert.Equal(3, script.At(TimeSpan.FromDays(5)).Joints.Values.Single().At(TimeSpan.FromDays(5)).Ohms, 9);
        Assert.Equal(4.5, script.At(TimeSpan.FromDays(9)).Joints.Values.Single().At(TimeSpan.FromDays(9)).Ohms, 9);
    }

    [Theory]
    [InlineData(2, false, false)]
    [InlineData(4, false, false)]
    [InlineData(2, true, false)]
    [InlineData(4, true, false)]
    [InlineData(4, true, true)]
    public void A_joint_adds_its_ohms_whatever_is_known_of_the_cable(int pairs, bool isMeasured, bool isTemperatureKnown)
    {
        var run = Build().CableRuns.Values.Single(r => r.Root.ElementId == "ptz-01");
        var segment = run.Root.Incoming with
        {
            Pairs = pairs,
            Conductor = Temperature.FromCelsius(60),
            MeasuredLoop = isMeasured ? Resistance.FromOhms(13) : null,
            Installation = new() { MeasuredAt = isTemperatureKnown ? Temperature.FromCelsius(10) : null },
        };
        var faults = FaultState.Calm with
        {
            Joints = FaultState.Calm.Joints.Add(segment.Id, new Joint(Resistance.FromOhms(2.5), Resistance.Zero, TimeSpan.Zero)),
        };
        var now = RunLoads.AsItStands(run.Root with { Incoming = segment }, faults, TimeSpan.Zero)!;
        Assert.Equal(2.5, (CableResistance.Of(now.Incoming, OperatingMode.Expected) - CableResistance.Of(segment, OperatingMode.Expected)).Ohms, 9);
    }

    [Fact]
    public void Far_too_many_ohms_take_the_device_down()
    {
        // 54 V over 100 ohm give 7.3 W at most (V²/4R): less than the camera needs.
        var world = new DrivenWorld("at 10s segment quay-west:1/1-ptz-01 gains 100 ohm").GoTo(12);
        Assert.Equal(PortState.Searching, world.StateOf(CameraPort));
        Assert.True(new Conversation(world.World, Switch).Number(Overloads + "1") > 0);
    }

    [Fact]
    public void Another_device_draws_and_is_classified_as_its_own_type()
    {
        var world = new DrivenWorld("at 10s device ptz-01 swapped for fixed-camera\nat 20s device ptz-01 as designed");
        var manager = new Conversation(world.World, Switch);
        Assert.Equal(PoeClass.Class6, world.GoTo(9).ClassOf(CameraPort));
        Assert.InRange(manager.Number(Watts + "1"), 18_000, 25_000);
        Assert.Equal(PoeClass.Class3, world.GoTo(11).ClassOf(CameraPort));
        // 60 to 75 % of its 8 W, and a little for the cable; class3(4) of RFC 3621.
        Assert.InRange(manager.Number(Watts + "1"), 4_500, 6_500);
        Assert.Equal(SnmpValue.Integer32(4), manager.Get(Class + "1"));
        Assert.Equal(PoeClass.Class6, world.GoTo(21).ClassOf(CameraPort));
    }

    [Fact]
    public void Devices_that_change_places_take_their_draw_with_them()
    {
        var world = new DrivenWorld("at 10s devices ptz-01, cam-05 change places").GoTo(11);
        Assert.Equal(PoeClass.Class3, world.ClassOf(CameraPort));
        Assert.InRange(world.Port(CameraPort).Draw.Watts, 4.5, 6.5);
        Assert.InRange(world.Port(new PsePortRef("pass-05", 1, 1)).Draw.Watts, 17, 25);
    }

    [Fact]
    public void A_class_asked_too_low_is_granted_and_policed()
    {
        // Class 3 is worth 14 W at a PSE of Type 3 (clause 145): the camera's 25 W are cut, again and again.
        var world = new DrivenWorld("at 0s device ptz-01 draws 25 W\nat 10s device ptz-01 asks for class 3\nat 60s device ptz-01 asks as designed");
        var manager = new Conversation(world.World, Switch);
        Assert.Equal(PortState.Delivering, world.GoTo(9).StateOf(CameraPort));
        Assert.Equal(PoeClass.Class3, world.GoTo(11).ClassOf(CameraPort));
        Assert.Equal(PortState.Searching, world.StateOf(CameraPort));
        Assert.True(world.GoTo(50).Port(CameraPort).Counters.Overload > 10);
        Assert.Equal(world.Port(CameraPort).Counters.Overload, manager.Number(Overloads + "1"));
        Assert.Equal(PortState.Delivering, world.GoTo(63).StateOf(CameraPort));
    }

    [Fact]
    public void A_device_within_the_class_it_asks_for_stays_on_and_shows_it()
    {
        var world = new DrivenWorld("at 0s device ptz-01 draws 9 W\nat 10s device ptz-01 asks for class 3").GoTo(20);
        Assert.Equal(PortState.Delivering, world.StateOf(CameraPort));
        Assert.Equal(SnmpValue.Integer32(4), new Conversation(world.World, Switch).Get(Class + "1"));
    }

    private static double AtPse(double volts, double ohms, double watts) => volts * (volts - Math.Sqrt((volts * volts) - (4 * ohms * watts))) / (2 * ohms);
}
