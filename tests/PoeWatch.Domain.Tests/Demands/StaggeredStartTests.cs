using PoeWatch.Domain.Demands;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.Poe;
using PoeWatch.Domain.Quantities;
using static PoeWatch.Domain.Tests.Demands.Kinds;

namespace PoeWatch.Domain.Tests.Demands;

/// <summary>Everything starts after an outage: hand-worked moments. Inrush 0.45 A at 54 V is 24.3 W, 0.9 A for classes 5 to 8 (IEEE 802.3 clauses 33 and 145, from memory).</summary>
public sealed class StaggeredStartTests
{
    private static readonly TimeSpan s_second = TimeSpan.FromSeconds(1);

    [Fact]
    public void All_at_once_add_their_boots_and_their_inrush()
    {
        var start = StaggeredStart.Of([Port(1, 20, 15), Port(2, 10, 8), Port(3, 40, 30, poeClass: PoeClass.Class6)], atOnce: null, s_second);

        Assert.Equal(new StartMoment(TimeSpan.Zero, Watts(70), 3), start.WorstBoot);
        Assert.Equal(24.3 + 24.3 + 48.6, start.WorstInrush.Watts.Watts, 9);
        Assert.Equal(TimeSpan.Zero, start.Lasts);
    }

    [Fact]
    public void Staggered_ports_start_while_the_first_ones_boot_no_longer()
    {
        // Boots last 2 s, one port a second: at 0 s 20; at 1 s 20+20; at 2 s 15+20+20; at 3 s 15+15+20+20 = 70. Inrush: at 3 s 15+15+20+24.3 = 74.3.
        var start = StaggeredStart.Of([.. Enumerable.Range(1, 4).Select(port => Port(port, 20, 15, bootSeconds: 2))], atOnce: 1, s_second);

        Assert.Equal(new StartMoment(TimeSpan.FromSeconds(3), Watts(70), 1), start.WorstBoot);
        Assert.Equal(74.3, start.WorstInrush.Watts.Watts, 9);
        Assert.Equal(TimeSpan.FromSeconds(3), start.Lasts);
    }

    [Fact]
    public void Critical_ports_start_first_then_the_lowest_number()
    {
        // The critical port 9 boots at 50 W for 1 s and is done when the others start: 2 x 30 + 10.
        var start = StaggeredStart.Of(
            [Port(1, 30, 5, bootSeconds: 1), Port(2, 30, 5, bootSeconds: 1), Port(9, 50, 10, bootSeconds: 1, criticality: Criticality.Critical)], atOnce: 1, s_second);

        Assert.Equal((50.0, TimeSpan.Zero), (start.WorstBoot.Watts.Watts, start.WorstBoot.After)); // 10 + 30, then 10 + 5 + 30 are less
    }

    [Fact]
    public void Where_running_takes_more_than_booting_the_end_counts()
    {
        var start = StaggeredStart.Of([Port(1, 5, 20), Port(2, 5, 20)], atOnce: 1, s_second);

        Assert.Equal((40.0, 0), (start.WorstBoot.Watts.Watts, start.WorstBoot.StartingCount));
    }

    [Fact]
    public void Nothing_designed_starts_nothing()
    {
        var start = StaggeredStart.Of([], atOnce: null, s_second);

        Assert.Equal((Power.Zero, Power.Zero), (start.WorstBoot.Watts, start.WorstInrush.Watts));
    }

    [Fact]
    public void Steps_that_would_overlap_an_inrush_are_refused()
    {
        Assert.Throws<ArgumentOutOfRangeException>(() => StaggeredStart.Of([], 1, TimeSpan.FromMilliseconds(74)));
        Assert.Throws<ArgumentOutOfRangeException>(() => StaggeredStart.Of([], 0, s_second));
    }

    private static StartingPort Port(
        int port, double boot, double after, PoeClass poeClass = PoeClass.Class4, double bootSeconds = 30, Criticality criticality = Criticality.Low) =>
        new(port, criticality, poeClass, Voltage.FromVolts(54), Watts(boot), TimeSpan.FromSeconds(bootSeconds), Watts(after));
}
