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
            """,
            SmallDesign.Build());
        Assert.Null(reading.Script);
        Assert.Equal(Enumerable.Range(1, 10), reading.Problems.Select(problem => problem.Line));
        Assert.Equal(
            ["horn-99", "device horn-03 draws 21 W", "device horn-03 sings", "quay-north", "seven", "snow", "supply quay-west:1 z lost", "air 99 C", "pole-01",
                "quay-west:1/99"],
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
