using System.Runtime.CompilerServices;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.PowerFlow;
using PoeWatch.Domain.Quantities;
using PoeWatch.TestKit;
using static PoeWatch.TestKit.Design.CableRunBuilder;

namespace PoeWatch.Domain.Tests.PowerFlow;

/// <summary>
/// What must hold of every run. Goal: no tree, mode or load gives watts that do not add up. Method: trees drawn by seed; a failure
/// names the seed of its tree, and <c>RandomRuns.From(seed)</c> draws that tree again.
/// </summary>
public sealed class PowerFlowPropertyTests
{
    private const double Milli = 1e-3;

    private static int Rounds => EvidenceRun.Rounds(200);

    [Fact]
    public void Energy_balances_to_a_milliwatt_at_every_place_and_over_the_whole_run() => Check(drawn =>
    {
        var result = drawn.Solve();
        var lossInElements = 0.0;
        foreach (var place in drawn.Run.Root.SelfAndBelow())
        {
            var input = result.Points[place.ElementId].DrawAtInput.Watts;
            var named = drawn.Demand.GetValueOrDefault(place.ElementId).Watts;
            var output = named + place.Children.Sum(child => result.Points[child.ElementId] is var p ? (p.DrawAtInput + p.SegmentLoss).Watts : 0);
            var own = (place.Extender?.OwnDraw ?? place.PassThrough?.OwnDraw ?? Power.Zero).Watts;
            Assert.Equal((output / (place.PassThrough?.Efficiency.Fraction ?? 1)) + own, input, Milli);
            lossInElements += input - output;
        }

        var demand = drawn.Demand.Values.Sum(watts => watts.Watts);
        Assert.Equal(demand + lossInElements + result.CableLoss!.Value.Watts, result.DrawAtPse!.Value.Watts, Milli);
    });

    [Fact]
    public void Textbook_sweep_finds_the_same_volts_and_watts() => Check(drawn =>
    {
        var result = drawn.Solve();
        var plain = new PlainSweep(drawn.Run, drawn.Demand, drawn.Mode);

        Assert.Equal(plain.Solve() ?? double.NaN, result.DrawAtPse!.Value.Watts, Milli);
        Assert.All(plain.Volts, volts => Assert.Equal(volts.Value, result.Points[volts.Key].Voltage.Volts, Milli));
    });

    // The textbook's sweep takes thousands of turns this close to collapse, hence fewer rounds.
    [Fact]
    public void Edge_of_collapse_is_where_the_textbook_sweep_stops_settling() => Check(drawn =>
    {
        var run = drawn.Run with { Source = drawn.Run.Source with { Type = default } };
        var hopeless = RandomRuns.Scaled(drawn.Demand, 1000);
        hopeless["e1"] = Power.FromWatts(10_000);
        var refused = PowerFlowSolver.Solve(run, hopeless, drawn.Mode);
        Assert.Equal(FlowOutcome.CannotBeFed, refused.Outcome);
        var collapse = refused.Limits[0];
        var edge = collapse.LimitValue / collapse.Value;

        Assert.Equal(LimitKind.VoltageCollapse, collapse.Kind);
        Assert.NotNull(new PlainSweep(run, RandomRuns.Scaled(hopeless, edge * 0.99999), drawn.Mode).Solve());
        Assert.Null(new PlainSweep(run, RandomRuns.Scaled(hopeless, edge * 1.00001), drawn.Mode).Solve());
    }, Rounds / 4);

    [Fact]
    public void Voltage_stays_above_half_of_its_feed_in_every_physical_solution() => Check(drawn =>
    {
        var result = drawn.Solve();
        Assert.All(drawn.Run.Root.SelfAndBelow(), place =>
        {
            // Below half the feeding voltage lies the other root, the one with the larger current.
            var point = result.Points[place.ElementId];
            var drop = point.Current.Amperes > 0 ? point.SegmentLoss.Watts / point.Current.Amperes : 0;
            Assert.True(drop <= point.Voltage.Volts + 1e-9, $"{place.ElementId}: {drop} V dropped, {point.Voltage} left");
        });
    });

    [Fact]
    public void More_load_never_draws_less_nor_lifts_a_voltage() => Check(drawn =>
    {
        var ids = drawn.Run.Root.SelfAndBelow().Select(place => place.ElementId).ToArray();
        AssertHeavier(drawn.Solve(), drawn.With(ids[drawn.Seed % ids.Length], 0.5).Solve());
    });

    [Fact]
    public void Longer_cable_never_draws_less_nor_lifts_a_voltage() => Check(drawn =>
        AssertHeavier(drawn.Solve(), drawn.WithRoot(root => Mapped(root, place => place with
        {
            Incoming = place.Incoming with { Length = place.Incoming.Length * 1.05 },
        })).Solve()));

    [Fact]
    public void Warmer_cable_never_draws_less_nor_lifts_a_voltage() => Check(drawn =>
        AssertHeavier(drawn.Solve(), drawn.WithRoot(root => Mapped(root, place => place with
        {
            Incoming = place.Incoming with { Conductor = Temperature.FromCelsius(place.Incoming.Conductor.Celsius + 10) },
        })).Solve()));

    [Fact]
    public void Larger_bundle_never_draws_less_nor_lifts_a_voltage() => Check(drawn =>
        AssertHeavier(drawn.Solve(), drawn.WithRoot(root => Mapped(root, place => place with
        {
            Incoming = place.Incoming with { Installation = place.Incoming.Installation with { BundledCables = Math.Min(100, place.Incoming.Installation.BundledCables + 10) } },
        })).Solve()));

    [Fact]
    public void One_more_contact_never_draws_less_nor_lifts_a_voltage() => Check(drawn =>
        AssertHeavier(drawn.Solve(), drawn.WithRoot(root => Mapped(root, place => place with
        {
            // A measured loop has its contacts in it already.
            Incoming = place.Incoming.MeasuredLoop is not null ? place.Incoming : place.Incoming with
            {
                Installation = place.Incoming.Installation with { Contacts = place.Incoming.Installation.Contacts + 1 },
            },
        })).Solve()));

    [Fact]
    public void Current_and_the_warmth_that_it_makes_agree() => Check(drawn =>
    {
        var state = new FlowState(new FlowTree(drawn.Run, drawn.Mode), drawn.Demand);
        Assert.True(FlowSweep.Solve(state));
        for (var index = 0; index < state.Tree.Count; index++)
        {
            var ohms = state.Tree.LawOf(index).OhmsAt(state.Amperes[index]);
            Assert.Equal(ohms, state.Ohms[index], 1e-9 * ohms);
        }
    });

    [Fact]
    public void Guarantee_never_promises_more_than_is_expected() => Check(drawn =>
        AssertHeavier((drawn with { Mode = OperatingMode.Expected }).Solve(), (drawn with { Mode = OperatingMode.Guaranteed }).Solve()));

    [Fact]
    public void Order_of_siblings_is_irrelevant() => Check(drawn =>
        AssertSame(drawn.Solve(), drawn.WithRoot(root => Mapped(root, place => place with { Children = [.. place.Children.Reverse()] })).Solve()));

    [Fact]
    public void Splitting_a_segment_in_two_changes_nothing() => Check(drawn =>
    {
        var share = 0.1 + (0.8 * new Random(drawn.Seed).NextDouble());
        var split = drawn.WithRoot(root => Extender(
            "joint",
            Share(root.Incoming, share),
            [root with { Incoming = Share(root.Incoming, 1 - share) }],
            ownWatts: 0));

        AssertSame(drawn.Solve(), split.Solve());
    });

    // Where the joint lies between whole contacts. The guarantee takes the worse of copper and channel on each side, so it may only get worse there.
    [Fact]
    public void Splitting_a_segment_between_its_contacts_changes_nothing_that_is_expected() => Check(drawn =>
    {
        var whole = drawn with { Mode = OperatingMode.Expected, Run = drawn.Run with { Root = drawn.Run.Root with { Incoming = drawn.Run.Root.Incoming with { MeasuredLoop = null } } } };
        var hung = whole.Run.Root.Incoming.Installation;
        var before = new Random(drawn.Seed).Next(0, hung.Contacts + 1);
        var split = whole.WithRoot(root => Extender(
            "joint",
            root.Incoming with { Length = root.Incoming.Length * 0.5, Installation = hung with { Contacts = before, Cords = Length.Zero, CordConductor = Resistance.Zero } },
            [root with { Incoming = root.Incoming with { Length = root.Incoming.Length * 0.5, Installation = hung with { Contacts = hung.Contacts - before } } }],
            ownWatts: 0));

        if (whole.Solve().Outcome == FlowOutcome.Solved)
        {
            AssertSame(whole.Solve(), split.Solve());
            AssertHeavier((whole with { Mode = OperatingMode.Guaranteed }).Solve(), (split with { Mode = OperatingMode.Guaranteed }).Solve());
        }
    });

    // Cords and contacts lie along the segment as the cable does.
    private static CableSegment Share(CableSegment segment, double share) => segment with
    {
        Length = segment.Length * share,
        MeasuredLoop = segment.MeasuredLoop * share,
        Installation = segment.Installation with
        {
            Cords = segment.Installation.Cords * share,
            CordConductor = segment.Installation.CordConductor * share,
            PerContact = segment.Installation.PerContact * share,
        },
    };

    private static void Check(Action<DrawnRun> holds, int? rounds = null, [CallerMemberName] string property = "")
    {
        var places = 0;
        var runs = rounds ?? Rounds;
        RandomRuns.Each(runs, drawn =>
        {
            holds(drawn);
            places += drawn.Run.Root.SelfAndBelow().Count();
        });
        EvidenceRun.Note(property.Replace('_', ' '), FormattableString.Invariant($"{runs} runs, {places} places"));
    }

    private static FlowNode Mapped(FlowNode place, Func<FlowNode, FlowNode> change) =>
        change(place with { Children = [.. place.Children.Select(child => Mapped(child, change))] });

    private static void AssertSame(PowerFlowResult a, PowerFlowResult b)
    {
        Assert.Equal(a.DrawAtPse!.Value.Watts, b.DrawAtPse!.Value.Watts, 1e-6);
        Assert.All(a.Points, point => Assert.Equal(point.Value.Voltage.Volts, b.Points[point.Key].Voltage.Volts, 1e-6));
    }

    private static void AssertHeavier(PowerFlowResult before, PowerFlowResult after)
    {
        if (before.Outcome == FlowOutcome.CannotBeFed)
        {
            Assert.Equal(FlowOutcome.CannotBeFed, after.Outcome);
            return;
        }

        if (after.Outcome == FlowOutcome.CannotBeFed)
        {
            return;
        }

        Assert.True(after.DrawAtPse >= before.DrawAtPse!.Value - Power.FromWatts(1e-9), $"{after.DrawAtPse} after {before.DrawAtPse}");
        Assert.All(before.Points, point => Assert.True(
            after.Points[point.Key].Voltage.Volts <= point.Value.Voltage.Volts + 1e-9, $"{point.Key} was {point.Value.Voltage}"));
    }
}
