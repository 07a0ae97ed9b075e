using PoeWatch.Domain.Poe;
using PoeWatch.Domain.Quantities;
using PoeWatch.Simulator.Faults;
using PoeWatch.Simulator.Tests.Support;

namespace PoeWatch.Simulator.Tests.Faults;

/// <summary>The written form of a fault script, and what a script amounts to at a moment.</summary>
public sealed class FaultScriptTests
{
    [Fact]
    public void Reads_every_sentence()
    {
        var design = SmallDesign.Builder(supplies: new Domain.Design.Supply("a", Power.FromWatts(400))).Build();
        var reading = FaultScriptText.Read(
            """
            # a bad day

            at 30s  device horn-03 draws 21 W
            at 1.5m device horn-03 draws as usual
            at 2m   device horn-03 creeps 0.5 W/h
            at 3m   element pass-05 unplugged
            at 4m   element pass-05 plugged in
            at 5m   port quay-west:1/6 carries 8 W class 3
            at 6m   port quay-west:6 carries nothing
            at 7m   port quay-west:1/3 grants class 4
            at 8m   port quay-west:1/3 grants as designed
            at 9m   port quay-west:1/3 trouble short
            at 10m  agents quay-west, pass-05 silent
            at 11m  agents quay-west, pass-05 answering
            at 12m  agent quay-west restarts
            at 1h   load-case paging begins
            at 2h   load-case paging ends
            at 1d   air -12.5 C
            at 2d   air by season
            at 3d   supply quay-west:1 a lost
            at 4d   supply quay-west:1 a back
            at 5d   port quay-west:1/3 priority low
            at 6d   port quay-west:1/3 priority as designed
            """,
            design);
        Assert.Empty(reading.Problems);
        var events = reading.Script!.Events;
        Assert.Equal(21, events.Length);
        Assert.Equal(new ScriptedEvent(TimeSpan.FromSeconds(30), new DeviceDraws("horn-03", Power.FromWatts(21))), events[0]);
        Assert.Equal(new ScriptedEvent(TimeSpan.FromSeconds(90), new DeviceDraws("horn-03", null)), events[1]);
        Assert.Equal(
            new StrangerOnPort(new("quay-west", 1, 6), new Stranger(Power.FromWatts(8), PoeClass.Class3)), events[5].Event);
        Assert.Equal(new AirTemperature(Temperature.FromCelsius(-12.5)), events[15].Event);
        Assert.Equal(new SupplyPresent("quay-west", 1, "a", true), events[18].Event);
        Assert.Equal("horn-03 now draws 21 W", SimulatedEventWords.Of(events[0].Event));
        Assert.Equal("silent: quay-west, pass-05", SimulatedEventWords.Of(events[10].Event));
        Assert.All(events, scripted => Assert.DoesNotContain('{', SimulatedEventWords.Of(scripted.Event)));
        Assert.Equal(
            [new PortPrioritySet(new("quay-west", 1, 3), Domain.Design.Criticality.Low), new PortPrioritySet(new("quay-west", 1, 3), null)],
            events[19..].Select(e => e.Event));
    }

    [Fact]
    public void Names_every_problem_with_its_line_and_its_remedy()
    {
        var reading = FaultScriptText.Read(
            """
            at 30s device horn-99 draws 21 W
            device horn-03 draws 21 W
            at 30s device horn-03 sings
            at 30s agents quay-west, quay-north silent
            at 30s port seven grants class 4
            at 30s load-case snow begins
            at 30s supply quay-west:1 z lost
            at 30s air 99 C
            at 30s element pole-01 unplugged
            at 30s port quay-west:1/99 trouble short
            at 30s segment cable-moon gains 1 ohm
            at 30s segment quay-west:1/1-ptz-01 gains 101 ohm
            at 30s device horn-03 swapped for sundial
            at 30s devices horn-03, horn-98 change places
            at 30s device horn-97 asks for class 3
            at 30s mains of quay-west, pass-05 lost
            at 30s ups ups-9 on battery
            at 30s cabinet of pass-05 at 61 C
            at 30s cabinet of quay-west at 200 C
            at 30s port quay-west:1/98 flaps every 90 s
            at 30s port quay-west:1/2 flaps every 0.5 s
            at 30s port quay-west:1/2 counts 100001 short an hour
            at 30s port quay-west:1/97 ignores its plan
            at 30s agent inj-07 clock steps 90 s
            at 30s agent quay-west counters at 4294967296
            at 30s agent quay-west meter errs 51 %
            at 30s agent quay-west meter shows steps of 0 mW
            at 30s agent quay-west repeats its watts for 0.1 s
            at 30s agent quay-west loses 101 % of its answers
            at 30s agent quay-west answers after 61 s
            at 30s agent quay-west tells port watts times 1001
            at 30s agent inj-07 refuses its credentials
            at 30s port quay-west:1/2 in VLAN 4095
            """,
            SmallDesign.Whole());
        Assert.Null(reading.Script);
        Assert.Equal(Enumerable.Range(1, 33), reading.Problems.Select(problem => problem.Line));
        Assert.Equal(
            ["horn-99", "device horn-03 draws 21 W", "device horn-03 sings", "quay-north", "seven", "snow", "supply quay-west:1 z lost", "air 99 C", "pole-01",
                "quay-west:1/99", "cable-moon", "101", "sundial", "horn-98", "horn-97", "pass-05", "ups-9", "pass-05", "200", "quay-west:1/98", "0.5s", "100001",
                "quay-west:1/97", "inj-07", "4294967296", "51", "0", "0.1s", "101", "61s",
                "1001", "inj-07", "4095"],
            reading.Problems.Select(problem => problem.Value));
        Assert.All(reading.Problems, problem => Assert.NotEmpty(problem.Remedy));
    }

    [Fact]
    public void Every_sentence_of_the_help_can_be_read()
    {
        // The first alternative of a help line, with names that the design has.
        var design = SmallDesign.Whole();
        Assert.All(FaultScriptText.Help, help =>
        {
            var line = help.Split('|')[0].Trim()
                .Replace("segment ID", "segment quay-west:1/1-ptz-01").Replace("for TYPE", "for ptz").Replace("devices ID, ID", "devices horn-03, cam-05")
                .Replace("mains of ID, ID", "mains of quay-west, inj-07").Replace("ups ID", "ups ups-1").Replace("cabinet of ID", "cabinet of quay-west")
                .Replace("device ID", "device horn-03").Replace("element ID", "element horn-03").Replace("load-case ID", "load-case paging")
                .Replace("ID, ID", "quay-west, pass-05").Replace("agent ID", "agent quay-west")
                .Replace("ID:GROUP/PORT", "quay-west:1/3").Replace("ID:GROUP SUPPLY", "quay-west:1 a")
                .Replace("counts 3 overload", "counts 3 overload an hour");
            var reading = FaultScriptText.Read(line, design);
            Assert.True(reading.Script?.Events.Length == 1, line);
        });
    }

    [Theory]
    [InlineData("segment quay-west:1/1-ptz-01 as designed", "the loop of quay-west:1/1-ptz-01 is as designed again")]
    [InlineData("segment quay-west:1/1-ptz-01 gains 0.1 ohm/d", "the loop of quay-west:1/1-ptz-01 grows by 0.1 ohm a day")]
    [InlineData("device horn-03 as designed", "horn-03 is back in its place")]
    [InlineData("device horn-03 asks as designed", "horn-03 asks for its designed class again")]
    [InlineData("mains of quay-west, inj-07 back", "mains back: quay-west, inj-07")]
    [InlineData("mains of the site back", "the mains of the whole site is back")]
    [InlineData("ups ups-1 on mains", "ups-1 feeds from its mains again")]
    [InlineData("cabinet of quay-west by season", "the air decides again how warm the cabinets of quay-west are")]
    [InlineData("port quay-west:1/3 flaps no more", "what hangs on quay-west:1/3 stays")]
    [InlineData("port quay-west:1/3 counts 2.5 mps-absent an hour", "quay-west:1/3 counts 2.5 times MpsAbsent an hour")]
    [InlineData("port quay-west:1/3 counts no more", "quay-west:1/3 counts no more by script")]
    [InlineData("port quay-west:1/3 keeps its plan", "quay-west:1/3 keeps its schedule again")]
    [InlineData("agent quay-west clock steps -1.5 m", "the clock of the agent of quay-west is stepped by -90 s")]
    [InlineData("agent quay-west meter is right", "the meters of quay-west show 0 %")]
    [InlineData("agent quay-west meter errs -2 %", "the meters of quay-west show -2 %")]
    [InlineData("agent quay-west meter shows steps as built", "the meters of quay-west show steps as built")]
    [InlineData("agent quay-west tells its watts afresh", "the agent of quay-west tells its watts afresh")]
    [InlineData("agent quay-west loses none", "0 % of the answers of quay-west are lost")]
    [InlineData("agent quay-west tells port watts as they are", "the agent of quay-west tells its ports' watts times 1")]
    [InlineData("agent quay-west takes its credentials", "the agent of quay-west takes its credentials again")]
    [InlineData("port quay-west:1/3 in VLAN as designed", "quay-west:1/3 is in its designed VLAN again")]
    [InlineData("agent quay-west answers at once", "the agent of quay-west answers after 0 s")]
    public void Every_other_alternative_is_read_and_told(string sentence, string told)
    {
        var reading = FaultScriptText.Read("at 30s " + sentence, SmallDesign.Whole());
        Assert.Equal(told, SimulatedEventWords.Of(Assert.Single(reading.Script!.Events).Event));
    }

    [Fact]
    public void A_time_beyond_all_days_comes_never()
    {
        var script = FaultScriptText.Read("at 999999999d mains of the site lost", SmallDesign.Build()).Script!;
        Assert.False(script.At(TimeSpan.FromDays(365_000)).IsSiteWithoutMains);
    }

    [Fact]
    public void The_manual_lists_every_sentence()
    {
        var folder = new DirectoryInfo(AppContext.BaseDirectory);
        while (!File.Exists(Path.Combine(folder.FullName, "PoeWatch.sln")))
        {
            folder = folder.Parent!;
        }

        var manual = File.ReadAllText(Path.Combine(folder.FullName, "docs", "simulator.md"));
        Assert.All(FaultScriptText.Help, help => Assert.Contains(help["at 30s ".Length..], manual, StringComparison.Ordinal));
    }

    [Fact]
    public void Events_count_from_their_moment_on_and_in_any_written_order()
    {
        var script = FaultScriptText.Read(
            "at 60s device horn-03 draws as usual\nat 30s device horn-03 draws 21 W", SmallDesign.Build()).Script!;
        Assert.Empty(script.At(TimeSpan.FromSeconds(29.9)).FixedDraws);
        Assert.Equal(Power.FromWatts(21), script.At(TimeSpan.FromSeconds(30)).FixedDraws["horn-03"]);
        Assert.Empty(script.At(TimeSpan.FromSeconds(60)).FixedDraws);
    }
}
