using PoeWatch.Domain.Design;
using PoeWatch.Domain.Poe;
using PoeWatch.Domain.PowerFlow;
using PoeWatch.Domain.Quantities;
using PoeWatch.TestKit;
using static PoeWatch.Domain.Tests.PowerFlow.PowerFlowSolverTests;
using static PoeWatch.TestKit.Design.CableRunBuilder;

namespace PoeWatch.Domain.Tests.PowerFlow;

/// <summary>How much more can hang at a place, against numbers worked by hand and against the solver itself.</summary>
public sealed class ExtraWattsTests
{
    private const double TenMilliwatts = 0.010;

    // onsemi NCP1095 board manual, p. 2: 90 W at the PSE over 6.25, 3.34, 1.67 ohm at 52 V leave 71.28, 79.99, 85.00 W at the PD.
    [Theory]
    [InlineData(6.25, 71.28)]
    [InlineData(3.34, 79.99)]
    [InlineData(1.67, 85.00)]
    public void Port_limit_leaves_what_arrives_of_it(double ohms, double arrivingWatts)
    {
        var run = OnPort(Device("lamp", Loop(ohms), PoeClass.Class8), volts: 52);

        var extra = Find(run, "lamp", ("lamp", 40));

        Assert.Equal(arrivingWatts - 40, extra.Watts.Watts, TenMilliwatts);
        Assert.Equal((LimitKind.PsePort, "lamp"), (extra.Binding.Kind, extra.AtElement));
        Assert.False(extra.Binding.IsBroken);
    }

    [Fact]
    public void Binding_limit_is_told_as_it_stands_now()
    {
        var extra = Find(OnInjector(Device("cam", Loop(0)), ratingWatts: 30), "cam", ("cam", 20));

        Assert.Equal("Injector inj would give 20 W, at most 30 W: 10 W left.", extra.Binding.Sentence);
        Assert.Equal(10.0, extra.Watts.Watts, TenMilliwatts);
    }

    [Fact]
    public void Idle_run_without_losses_leaves_the_whole_limit() =>
        Assert.Equal(30.0, Find(OnInjector(Device("cam", Loop(0)), ratingWatts: 30), "cam").Watts.Watts, TenMilliwatts);

    [Fact]
    public void Free_output_binds_first_where_it_is_the_smallest()
    {
        var run = OnInjector(Extender("ext", Loop(1), [Device("cam", Loop(1))], outputWatts: 30));

        var extra = Find(run, "ext", ("cam", 20));

        Assert.Equal(30.0, extra.Watts.Watts, TenMilliwatts);
        Assert.Equal(LimitKind.ExtenderOutput, extra.Binding.Kind);
        Assert.Equal("Extender ext at a free output would give 0 W, at most 30 W: 30 W left.", extra.Binding.Sentence);
    }

    [Theory]
    [InlineData(60, 80, LimitKind.PassThroughTotal, 10)]
    [InlineData(200, 64, LimitKind.PassThroughInput, 2.2)]
    public void Pass_through_binds_by_total_or_by_input_through_its_converter(double total, double input, LimitKind kind, double watts)
    {
        // Input: (50 + x) / 0.9 + 6 = 64 gives x = 2.2.
        var run = OnPort(PassThrough(
            "pts", Loop(0), [Device("a", Loop(0)), Device("b", Loop(0))], efficiency: 0.9, inputWatts: input, ownWatts: 6, totalWatts: total));

        var extra = Find(run, "pts", ("a", 25), ("b", 25));

        Assert.Equal(kind, extra.Binding.Kind);
        Assert.Equal(watts, extra.Watts.Watts, TenMilliwatts);
    }

    // Type 2: 0.6 A over two pairs (TI TPS2379 Table 2) at 54 V - 0.6 A x 8.422 ohm = 48.95 V are 29.37 W.
    [Fact]
    public void Amperes_bind_where_the_port_is_larger_than_its_type()
    {
        var extra = Find(OnPort(Device("cam", Loop(8.422, 2)), limitWatts: 60, PoeType.Type2), "cam", ("cam", 9.37));

        Assert.Equal(LimitKind.PairCurrent, extra.Binding.Kind);
        Assert.Equal(((54 - (0.6 * 8.422)) * 0.6) - 9.37, extra.Watts.Watts, TenMilliwatts);
    }

    [Fact]
    public void Volts_bind_at_the_device_that_gets_least()
    {
        // 48 V and 12.5 ohm: 42.5 V are reached at 0.44 A, that is 18.7 W.
        var extra = Find(OnPort(Device("cam", Loop(12.5, 2)), volts: 48), "cam", ("cam", 10));

        Assert.Equal(LimitKind.PdVoltage, extra.Binding.Kind);
        Assert.Equal((42.5 * 0.44) - 10, extra.Watts.Watts, TenMilliwatts);
    }

    // Circuit law: no more than V²/4R = 50 W over 12.5 ohm at 50 V.
    [Fact]
    public void Collapse_binds_where_no_standard_does()
    {
        var horn = Device("horn", Loop(12.5, 2)) with { DeviceType = null };

        var extra = Find(OnInjector(horn, ratingWatts: 200, PoeType.Unknown, volts: 50), "horn", ("horn", 20));

        Assert.Equal((LimitKind.VoltageCollapse, "to-horn"), (extra.Binding.Kind, extra.Binding.ElementId));
        Assert.False(extra.Binding.IsBroken);
        Assert.Equal(30.0, extra.Watts.Watts, TenMilliwatts);
        Assert.Equal(extra.Binding.Value + extra.Watts.Watts, extra.Binding.LimitValue, TenMilliwatts);
    }

    [Fact]
    public void Class_of_a_device_does_not_limit_another_one()
    {
        var run = OnPort(Device("cam", Loop(0), PoeClass.Class3), limitWatts: 30, PoeType.Type2);

        Assert.Equal(17.05, Find(run, "cam", ("cam", 12.95)).Watts.Watts, TenMilliwatts);
    }

    [Fact]
    public void Broken_limit_tells_how_much_demand_is_too_much()
    {
        var run = OnInjector(Extender("ext", Loop(0), [Device("a", Loop(0)), Device("b", Loop(0))], ownWatts: 2), ratingWatts: 60);

        var extra = Find(run, "ext", ("a", 40), ("b", 25));

        Assert.Equal(-7.0, extra.Watts.Watts, TenMilliwatts);
        Assert.True(extra.Binding.IsBroken);
        Assert.Equal(LimitKind.InjectorRating, extra.Binding.Kind);
    }

    [Fact]
    public void Demand_of_which_next_to_nothing_can_be_fed_is_told_to_the_watt() =>
        Assert.Equal(-1990.0, Find(OnInjector(Device("cam", Loop(0)), ratingWatts: 10), "cam", ("cam", 2000)).Watts.Watts, TenMilliwatts);

    [Fact]
    public void Run_that_cannot_be_fed_tells_how_much_demand_is_too_much()
    {
        // The last limit on the way down is 42.5 V at the lamp, reached at (54 V - 42.5 V) / 20 ohm = 0.575 A.
        var run = OnPort(Device("lamp", Loop(20, 2)) with { DeviceType = null }, type: PoeType.Type2);

        var extra = Find(run, "lamp", ("lamp", 60));

        Assert.Equal(LimitKind.VoltageCollapse, extra.Binding.Kind);
        Assert.True(extra.Binding.IsBroken);
        Assert.Equal(54.0 * 54.0 / (4.0 * 20.0), extra.Binding.LimitValue, TenMilliwatts);
        Assert.Equal(60.0, extra.Binding.Value);
        Assert.Equal(-(60 - (42.5 * 0.575)), extra.Watts.Watts, TenMilliwatts);
    }

    [Fact]
    public void Limit_that_no_smaller_demand_mends_leaves_nothing()
    {
        var run = OnInjector(Extender("ext", Loop(0), [Device("cam", Loop(0))], ownWatts: 12), ratingWatts: 10);

        var extra = Find(run, "ext", ("cam", 5));

        Assert.Equal(Power.Zero, extra.Watts);
        Assert.True(extra.Binding.IsBroken);
    }

    // Class 8 on the worst channel draws 90.04 W of 90 W by the rounding of the class table: nothing broken, nothing left.
    [Fact]
    public void System_that_just_conforms_has_nothing_left_and_nothing_broken()
    {
        var run = OnPort(Device("lamp", Cable(100, 24), PoeClass.Class8));

        var extra = ExtraWattsFinder.Find(run, Demand(("lamp", 71.3)), "lamp", OperatingMode.Guaranteed);

        Assert.Equal(Power.Zero, extra.Watts);
        Assert.Equal((LimitKind.PsePort, false), (extra.Binding.Kind, extra.Binding.IsBroken));
    }

    [Fact]
    public void Element_of_another_run_is_refused() =>
        Assert.Throws<ArgumentException>(() => Find(OnPort(Device("cam", Loop(0))), "horn"));

    [Fact]
    public void Extra_watts_hold_and_ten_milliwatts_more_do_not() => Check((drawn, at) =>
    {
        var extra = ExtraWattsFinder.Find(drawn.Run, drawn.Demand, at, drawn.Mode);
        if (extra.Watts <= Power.Zero || extra.Binding.Kind is LimitKind.ExtenderOutput or LimitKind.PassThroughOutput)
        {
            return;
        }

        // A load named at an element hangs at its outputs like the further load, save that no single output is held to it.
        Assert.Empty(BrokenBy(drawn.With(at, extra.Watts.Watts - TenMilliwatts)));
        // Close to collapse the voltage may fall away within those ten milliwatts.
        Assert.Contains(
            BrokenBy(drawn.With(at, extra.Watts.Watts + TenMilliwatts)), kind => kind == extra.Binding.Kind || kind == LimitKind.VoltageCollapse);
    });

    [Fact]
    public void Watts_too_much_are_enough_to_take_away() => Check((drawn, at) =>
    {
        var extra = ExtraWattsFinder.Find(drawn.Run, drawn.Demand, at, drawn.Mode);
        if (extra.Watts < Power.Zero)
        {
            var all = drawn.Demand.Values.Sum(watts => watts.Watts);
            var mended = drawn with { Demand = RandomRuns.Scaled(drawn.Demand, Math.Max(0, (all + extra.Watts.Watts - TenMilliwatts) / all)) };
            Assert.Empty(BrokenBy(mended));
        }
    });

    [Fact]
    public void More_demand_never_leaves_more() => Check((drawn, at) =>
    {
        var before = ExtraWattsFinder.Find(drawn.Run, drawn.Demand, at, drawn.Mode);
        var after = ExtraWattsFinder.Find(drawn.Run, RandomRuns.Scaled(drawn.Demand, 1.1), at, drawn.Mode);

        Assert.True(after.Watts.Watts <= before.Watts.Watts + 1e-5, $"{after.Watts} after {before.Watts}");
    });

    private static IEnumerable<LimitKind> BrokenBy(DrawnRun drawn)
    {
        // Bare limits, without what guaranteed mode forgives the class table.
        var result = drawn.Solve();
        return result.Limits
            .Where(l => !l.IsAdvice && (l.IsBroken || (l.Unit == "W" && l.Value > l.LimitValue)))
            .Select(l => l.Kind)
            .Where(kind => kind is not (LimitKind.PdClass or LimitKind.GrantableClass or LimitKind.SegmentLength or LimitKind.OutputCount));
    }

    private static void Check(Action<DrawnRun, string> holds) => RandomRuns.Each(EvidenceRun.Rounds(200), drawn =>
    {
        var places = drawn.Run.Root.SelfAndBelow().ToArray();
        holds(drawn, places[drawn.Seed % places.Length].ElementId);
    });

    private static ExtraWatts Find(CableRun run, string at, params (string Id, double Watts)[] watts) =>
        ExtraWattsFinder.Find(run, Demand(watts), at, OperatingMode.Expected);
}
