using PoeWatch.Domain.EnergyBalance;
using PoeWatch.Domain.Poe;
using PoeWatch.Domain.Quantities;
using PoeWatch.Simulator.Agents;
using PoeWatch.Simulator.Tests.Support;
using PoeWatch.Snmp;
using static PoeWatch.Simulator.Tests.Support.SmallDesign;

namespace PoeWatch.Simulator.Tests.Agents;

/// <summary>Both ends of a segment before a pass-through switch, by what the agents say: enough to find its ohms.</summary>
public sealed class MeteredUplinkTests
{
    private const string AtPse = "1.3.111.2.802.3.1.8.1.1.1.15.1.3";
    private const string Reading = "1.3.6.1.2.1.99.1.1.1.4.";
    private const string GroupWatts = "1.3.6.1.2.1.105.1.3.1.1.4.1";

    /// <summary>
    /// Ohm's law on what the two agents tell. 95 m of 23 AWG over four pairs have half of 95 times 66.79 ohm/km (wire table of Floyd at HyperPhysics): 3.1725 ohm.
    /// Hundredths of a volt in a drop of a volt allow 1 %.
    /// </summary>
    [Theory]
    [InlineData("", 0)]
    [InlineData("at 5s segment quay-west:1/3-pass-05 gains 2.5 ohm", 2.5)]
    public void Volts_at_the_far_end_give_the_ohms_of_the_segment(string script, double more)
    {
        var world = new DrivenWorld(script).GoTo(20);
        var source = world.Design.CableRuns.Values.Single(run => run.Root.ElementId == "pass-05").Source.NominalVoltage.Volts;
        var onPole = new Conversation(world.World, "pass-05");
        var volts = onPole.Number(Reading + SensorMib.InputVoltsIndex) / 100.0;
        var amperes = new Conversation(world.World, Switch).Number(AtPse) / 1000.0 / source;
        var ohms = (source - volts) / amperes;
        Assert.InRange(ohms / (3.1725 + more), 0.99, 1.01);

        // What arrives is what was sent less the heat of the copper.
        var watts = onPole.Number(Reading + SensorMib.InputWattsIndex) / 1000.0;
        Assert.Equal((amperes * source) - (amperes * amperes * (3.1725 + more)), watts, 0.01);
        // Two cameras, 6 W of its own and 8 % of conversion.
        Assert.InRange(watts, ((onPole.Number(GroupWatts) - 0.5) / 0.92) + 6, ((onPole.Number(GroupWatts) + 0.5) / 0.92) + 6);
    }

    /// <summary>
    /// A day of both agents' words every five minutes, meters that err and coarse ones among them: the estimator finds the ohms that the wire table gives, and those that a
    /// joint adds.
    /// </summary>
    [Theory]
    [InlineData(FarEndMeter.InputVolts, 0.0)]
    [InlineData(FarEndMeter.InputVolts, 2.5)]
    [InlineData(FarEndMeter.InputWatts, 0.0)]
    [InlineData(FarEndMeter.InputWatts, 2.5)]
    [InlineData(FarEndMeter.OutputWatts, 0.0)]
    [InlineData(FarEndMeter.OutputWatts, 2.5)]
    public void The_ohms_are_estimated_from_what_the_agents_say(FarEndMeter meter, double more)
    {
        var design = Builder().DeviceType("fixed-camera", 14, PoeClass.Class3, ("night", 24)).Build();
        var world = new DrivenWorld(
            $"at 0s agent pass-05 meter errs 1.5 %\nat 0s segment quay-west:1/3-pass-05 gains {more} ohm", design,
            options: new() { RefreshPeriod = TimeSpan.FromMinutes(5) });
        var (atPse, onPole) = (new Conversation(world.World, Switch), new Conversation(world.World, "pass-05"));
        var samples = new List<BalanceSample>();
        for (var at = TimeSpan.FromMinutes(10); at < TimeSpan.FromDays(1); at += TimeSpan.FromMinutes(5))
        {
            world.JumpTo(at);
            samples.Add(new BalanceSample(
                world.World.Start + at,
                Power.FromMilliwatts(atPse.Number(AtPse)),
                Power.FromMilliwatts(meter == FarEndMeter.OutputWatts ? Outputs(onPole) : onPole.Number(Reading + SensorMib.InputWattsIndex)),
                Voltage.FromVolts(onPole.Number(Reading + SensorMib.InputVoltsIndex) / 100.0),
                BalanceSample.Reference));
        }

        var volts = design.CableRuns.Values.Single(run => run.Root.ElementId == "pass-05").Source.NominalVoltage;
        var found = LoopEstimator.Estimate([.. samples], meter, volts, MeterTrust.Usual);
        Assert.Equal(LoopOutcome.Found, found.Outcome);
        Assert.InRange(3.1725 + more, (found.Loop - found.HalfWidth)!.Value.Ohms, (found.Loop + found.HalfWidth)!.Value.Ohms);
    }

    private static long Outputs(Conversation onPole) => Enumerable.Range(1, 2).Sum(port => onPole.Number($"1.3.111.2.802.3.1.8.1.1.1.15.1.{port}"));

    /// <summary>voltsDC(4) and watts(6); units(9) with two decimals and milli(8): EntitySensorDataType and EntitySensorDataScale of RFC 3433.</summary>
    [Fact]
    public void The_input_is_told_in_the_units_of_RFC_3433()
    {
        var onPole = new Conversation(new DrivenWorld().GoTo(20).World, "pass-05");
        int[] volts = [4, 9, 2], watts = [6, 8, 0];
        for (var column = 1; column <= 3; column++)
        {
            Assert.Equal(SnmpValue.Integer32(volts[column - 1]), onPole.Get($"1.3.6.1.2.1.99.1.1.1.{column}.{SensorMib.InputVoltsIndex}"));
            Assert.Equal(SnmpValue.Integer32(watts[column - 1]), onPole.Get($"1.3.6.1.2.1.99.1.1.1.{column}.{SensorMib.InputWattsIndex}"));
        }

        Assert.Equal(SnmpValue.Text("Uplink input volts"), onPole.Get($"1.3.6.1.2.1.47.1.1.1.1.7.{SensorMib.InputVoltsIndex}"));
    }

    [Fact]
    public void A_meter_that_errs_and_repeats_does_so_at_the_input_too()
    {
        var world = new DrivenWorld("at 10s agent pass-05 meter errs -10 %\nat 30s agent pass-05 repeats its watts for 60 s").GoTo(20);
        var onPole = new Conversation(world.World, "pass-05");
        Assert.Equal(world.World.Look("pass-05")!.Input!.Value.Draw.Watts * 900, onPole.Number(Reading + SensorMib.InputWattsIndex), 0.51);
        world.GoTo(31);
        var held = onPole.Number(Reading + SensorMib.InputWattsIndex);
        world.GoTo(80);
        Assert.Equal(held, onPole.Number(Reading + SensorMib.InputWattsIndex));
    }

    [Fact]
    public void A_switch_with_mains_shows_no_input() =>
        Assert.Equal(SnmpValue.NoSuchObject, new Conversation(new DrivenWorld().GoTo(5).World, Switch).Get(Reading + SensorMib.InputVoltsIndex));
}
