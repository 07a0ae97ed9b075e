using PoeWatch.Simulator.Tests.Support;
using PoeWatch.Simulator.World;

namespace PoeWatch.Simulator.Tests.World;

/// <summary>A script of everything at once: the same seed and script make the same world, whoever looks and how often.</summary>
public sealed class WholeScriptTests
{
    private const string Everything = """
        at 3s   load-case paging begins
        at 5s   segment quay-west:1/3-pass-05 gains 50 ohm/d
        at 7s   device cam-05 swapped for horn
        at 11s  devices ptz-01, horn-03 change places
        at 13s  device cam-06 asks for class 1
        at 17s  port quay-west:1/5 carries 9 W class 3
        at 19s  port quay-west:1/5 flaps every 14 s
        at 23s  port quay-west:1/2 counts 700 denied an hour
        at 29s  agent quay-west counters at 4294967290
        at 31s  agent pass-05 repeats its watts for 37 s
        at 37s  agent quay-west meter errs -3 %
        at 41s  agent quay-west meter shows steps of 250 mW
        at 43s  air -12 C
        at 47s  device horn-07 creeps 2 W/h
        at 60s  mains of the site lost
        at 95s  mains of the site back
        at 120s supply quay-west:1 a lost
        at 150s supply quay-west:1 a back
        at 160s mains of quay-west lost
        at 170s mains of quay-west back
        at 180s ups ups-1 on battery
        at 200s device ptz-01 as designed
        at 210s load-case paging ends
        """;

    [Theory]
    [InlineData(59)]
    [InlineData(61)]
    [InlineData(130)]
    [InlineData(165)]
    [InlineData(400)]
    public void Looking_once_shows_what_looking_each_second_shows(int seconds)
    {
        var often = new DrivenWorld(Everything, SmallDesign.Whole()).GoTo(seconds);
        var once = new DrivenWorld(Everything, SmallDesign.Whole()).JumpTo(TimeSpan.FromSeconds(seconds));
        foreach (var (id, shown) in often.World.CatchUp())
        {
            AssertSame(shown, once.World.Look(id)!);
        }

        Assert.Equal(often.World.LookAtUps("ups-1"), once.World.LookAtUps("ups-1"));
        Assert.Equal(seconds, once.World.Elapsed.TotalSeconds);
    }

    [Fact]
    public void Another_seed_makes_another_world()
    {
        var one = new DrivenWorld(Everything, SmallDesign.Whole()).GoTo(400);
        var other = new DrivenWorld(Everything, SmallDesign.Whole(), seed: DrivenWorld.Seed + 1).GoTo(400);
        Assert.NotEqual(one.Port(SmallDesign.CameraPort).Draw, other.Port(SmallDesign.CameraPort).Draw);
    }

    private static void AssertSame(PseSnapshot expected, PseSnapshot shown)
    {
        Assert.Equal(expected with { Groups = [] }, shown with { Groups = [] });
        Assert.Equal(expected.Groups.SelectMany(group => group.Ports), shown.Groups.SelectMany(group => group.Ports));
        Assert.Equal(expected.Groups.Select(group => (group.Budget, group.Draw)), shown.Groups.Select(group => (group.Budget, group.Draw)));
    }
}
