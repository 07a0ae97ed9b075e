using PoeWatch.Domain.Alarms;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.Poe;
using PoeWatch.Domain.Quantities;
using PoeWatch.Domain.Readings;
using PoeWatch.Domain.Tests.Assessment;
using PoeWatch.TestKit.Design;

namespace PoeWatch.Domain.Tests.Alarms;

/// <summary>What each rule says of a harbour, and what it leaves unsaid.</summary>
public sealed class AlarmRuleTests
{
    [Fact]
    public void A_harbour_as_designed_raises_nothing() =>
        Assert.Empty(Conditions(Harbour.Design().Build(), Harbour.AsDesigned(Harbour.Noon)));

    [Theory]
    [InlineData(21, AlarmSeverity.Minor)]
    [InlineData(23.5, AlarmSeverity.Major)]
    [InlineData(26, AlarmSeverity.Critical)]
    public void Low_headroom_of_a_run_is_told_with_its_numbers_and_limit(double draw, AlarmSeverity severity)
    {
        var condition = Single(West(SnapshotBuilder.Delivering("quay-west:1/1", draw)), AlarmTypes.HeadroomLow);
        Assert.Equal(("run/quay-west:1/1", severity, 5.0), (condition.Key.Resource, condition.Severity, condition.Floor));
        Assert.Contains(FormattableString.Invariant($"{draw:0.0} W (measured)"), condition.Text, StringComparison.Ordinal);
        Assert.Contains("pole pole-1", condition.Text, StringComparison.Ordinal);
        Assert.Contains("load case night", condition.Text, StringComparison.Ordinal);
        Assert.Contains("too much", condition.Text, StringComparison.Ordinal);
        Assert.Contains("Caution", condition.NextSteps, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(Provenance.ClassBound)]
    [InlineData(Provenance.Allocated)]
    public void A_ceiling_alone_raises_no_headroom_alarm(Provenance provenance)
    {
        var conditions = Conditions(Harbour.Design().Build(), West(
            SnapshotBuilder.Delivering("quay-west:1/1", 30, provenance), SnapshotBuilder.Delivering("quay-west:1/2", 90, provenance)));
        Assert.Empty(conditions);
    }

    [Fact]
    public void A_run_that_nothing_measures_warns_by_design()
    {
        var design = Harbour.Design().Policy(DesignModelBuilder.Floors(70, 20)).Build();
        var byDesign = Conditions(design, Harbour.AsDesigned(Harbour.Noon)).Where(c => c.Key.Type == AlarmTypes.HeadroomLowByDesign);
        var condition = Assert.Single(byDesign);
        Assert.Equal(("run/inj-4", AlarmSeverity.Warning), (condition.Key.Resource, condition.Severity));
        Assert.Contains("nobody measures", condition.Text, StringComparison.Ordinal);
    }

    [Fact]
    public void Low_headroom_at_a_port_is_told_where_the_run_does_not_say_it()
    {
        // The run of the pass-through switch has ample headroom; its output 1 draws 28 of 30 W.
        var snapshot = Harbour.AsDesigned(Harbour.Noon).Answered("pts-2", Harbour.Fresh, SnapshotBuilder.Delivering("pts-2:1", 28), SnapshotBuilder.Delivering("pts-2:2", 10));
        var condition = Single(snapshot, AlarmTypes.HeadroomLow);
        Assert.Equal(("port/pts-2:1/1", AlarmSeverity.Minor, 2.0), (condition.Key.Resource, condition.Severity, condition.Value));
    }

    [Fact]
    public void Low_headroom_of_a_run_is_not_told_again_at_its_port()
    {
        var conditions = Conditions(Harbour.Design().Build(), West(SnapshotBuilder.Delivering("quay-west:1/1", 29)));
        Assert.Equal(["run/quay-west:1/1"], conditions.Where(c => c.Key.Type == AlarmTypes.HeadroomLow).Select(c => c.Key.Resource));
    }

    [Fact]
    public void Low_headroom_of_a_budget_counts_the_guard_band()
    {
        var told = new GroupReading(1, Power.FromWatts(370), Power.FromWatts(186), Provenance.Measured, true);
        var condition = Single(
            Harbour.AsDesigned(Harbour.Noon).Answered("quay-west", Harbour.Fresh, [told], Harbour.QuayWest()), AlarmTypes.BudgetHeadroomLow);
        Assert.Equal(("group/quay-west:1", AlarmSeverity.Minor, 4.0), (condition.Key.Resource, condition.Severity, condition.Value));
        Assert.Contains("guard band of 10.0 W", condition.Text, StringComparison.Ordinal);
    }

    [Fact]
    public void A_value_in_the_deadband_is_told_with_its_floor_so_that_the_book_can_hold_it()
    {
        var told = new GroupReading(1, null, Power.FromWatts(184.5), Provenance.Measured, true);
        var condition = Single(
            Harbour.AsDesigned(Harbour.Noon).Answered("quay-west", Harbour.Fresh, [told], Harbour.QuayWest()), AlarmTypes.BudgetHeadroomLow);
        Assert.Equal((5.5, 5.0), (condition.Value, condition.Floor));
        var book = AlarmBook.Empty(new AlarmTimings { OnDelay = TimeSpan.Zero });
        Assert.Empty(book.Apply(AlarmMoment.Of(Harbour.Noon), [condition], _ => true).Changes);
    }

    [Fact]
    public void Draw_above_design_is_told_beyond_5_percent_or_1_W()
    {
        var design = Harbour.Design().Build();
        Assert.DoesNotContain(Conditions(design, West(SnapshotBuilder.Delivering("quay-west:1/1", 11))), IsHolding);
        var condition = Single(West(SnapshotBuilder.Delivering("quay-west:1/1", 13)), AlarmTypes.DrawAboveDesign);
        Assert.True(IsHolding(condition));
        Assert.Equal(("port/quay-west:1/1", AlarmSeverity.Warning), (condition.Key.Resource, condition.Severity));

        static bool IsHolding(AlarmCondition c) => c.Key.Type == AlarmTypes.DrawAboveDesign && c.Value < c.Floor;
    }

    // 15.4 W and 30 W at the PSE for classes 3 and 4: Ethernet Alliance, overview of 802.3bt (2018), class table.
    [Theory]
    [InlineData(PoeClass.Class3, Provenance.Measured, 10, true)]
    [InlineData(PoeClass.Class4, Provenance.Measured, 10, false)]
    [InlineData(PoeClass.Class4, Provenance.Allocated, 15.4, true)]
    [InlineData(PoeClass.Class4, Provenance.Allocated, 30, false)]
    public void A_class_lower_than_the_device_asks_for_is_a_grant_too_small(PoeClass assigned, Provenance provenance, double watts, bool isTold)
    {
        var conditions = Conditions(Harbour.Design().Build(), West(SnapshotBuilder.Delivering("quay-west:1/1", watts, provenance, assigned)));
        Assert.Equal(isTold ? ["port/quay-west:1/1"] : [], conditions.Where(c => c.Key.Type == AlarmTypes.GrantTooSmall).Select(c => c.Key.Resource));
    }

    [Fact]
    public void Class_4_is_not_held_against_a_need_of_more_because_RFC_3621_has_no_word_for_more()
    {
        var conditions = Conditions(Light().Build(), Answer(SnapshotBuilder.Delivering("s:1/1", 60, assigned: PoeClass.Class4)));
        Assert.DoesNotContain(conditions, c => c.Key.Type == AlarmTypes.GrantTooSmall);
        conditions = Conditions(Light().Build(), Answer(SnapshotBuilder.Delivering("s:1/1", 14, assigned: PoeClass.Class3)));
        Assert.Equal(AlarmSeverity.Major, Assert.Single(conditions, c => c.Key.Type == AlarmTypes.GrantTooSmall).Severity);
    }

    [Theory]
    [InlineData("quay-west", "quay-west:1/1", AlarmSeverity.Minor)]
    [InlineData("quay-east", "quay-east:1/1", AlarmSeverity.Major)] // a critical device
    public void A_dark_port_is_told_by_how_critical_its_devices_are(string pse, string port, AlarmSeverity severity)
    {
        var others = pse == "quay-west" ? Harbour.QuayWest(SnapshotBuilder.Off(port)) : [SnapshotBuilder.Off(port)];
        var condition = Single(Harbour.AsDesigned(Harbour.Noon).Answered(pse, Harbour.Fresh, others), AlarmTypes.PortDark);
        Assert.Equal(($"port/{port}", severity), (condition.Key.Resource, condition.Severity));
        Assert.Contains("searching", condition.Text, StringComparison.Ordinal);
    }

    [Fact]
    public void A_port_in_fault_is_told_once_and_not_as_dark_too()
    {
        var conditions = Conditions(Harbour.Design().Build(), West(SnapshotBuilder.Off("quay-west:1/1", PortState.Fault)));
        Assert.Equal((AlarmTypes.PortFault, AlarmSeverity.Major), (Assert.Single(conditions).Key.Type, conditions[0].Severity));
    }

    [Fact]
    public void A_port_that_feeds_a_data_side_is_told_with_what_to_do()
    {
        var condition = Single(West(SnapshotBuilder.Delivering("quay-west:1/3", 5)), AlarmTypes.PortUnexpected);
        Assert.Equal(AlarmSeverity.Minor, condition.Severity);
        Assert.Contains("inj-4", condition.Text, StringComparison.Ordinal);
        Assert.Equal(AlarmSeverity.Warning, Single(West(SnapshotBuilder.Delivering("quay-west:1/9", 5)), AlarmTypes.PortUnexpected).Severity);
    }

    [Theory]
    [InlineData("2026-09-30", "due by 2026-09-30")]
    [InlineData("2026-05-01", "was due by 2026-05-01")]
    public void A_planned_upgrade_warns_as_long_as_it_is_planned_even_while_its_switch_is_silent(string day, string words)
    {
        var design = Harbour.Design()
            .Port("quay-west:1/1", upgrade: new PlannedUpgrade(Power.FromWatts(90), DateOnly.ParseExact(day, "yyyy-MM-dd", null))).Build();
        var site = Harbour.Assess(design, Harbour.AsDesigned(Harbour.Noon).NotAnswered("quay-west"));
        var condition = Assert.Single(AlarmRules.Evaluate(design, site), c => c.Key.Type == AlarmTypes.DesignUpgradeDue);
        Assert.Contains(words, condition.Text, StringComparison.Ordinal);
        Assert.True(AlarmRules.IsKnown(condition.Key, design, site));
    }

    [Theory]
    [InlineData(PollOutcome.Refused)]
    [InlineData(PollOutcome.Malformed)]
    [InlineData(PollOutcome.NoPoe)]
    public void An_agent_that_refuses_is_told_with_its_reason(PollOutcome outcome)
    {
        var condition = Single(Harbour.AsDesigned(Harbour.Noon).NotAnswered("quay-east", outcome, detail: "Unknown user 'watch'."), AlarmTypes.PollRefused);
        Assert.Equal(("switch/quay-east", AlarmSeverity.Major), (condition.Key.Resource, condition.Severity));
        Assert.EndsWith("Unknown user 'watch'.", condition.Text, StringComparison.Ordinal);
    }

    [Fact]
    public void Silence_is_told_at_the_root_with_what_hangs_behind_it()
    {
        var snapshot = Harbour.AsDesigned(Harbour.Noon).NotAnswered("quay-west").NotAnswered("quay-east").NotAnswered("pts-2");
        var condition = Assert.Single(Conditions(Harbour.Design().Build(), snapshot));
        Assert.Equal(("switch/quay-west", AlarmTypes.SwitchSilent), (condition.Key.Resource, condition.Key.Type));
        Assert.Contains("(2): pts-2, quay-east", condition.Text, StringComparison.Ordinal);
        Assert.Contains("pole-5", condition.Text, StringComparison.Ordinal);
    }

    [Fact]
    public void A_switch_that_was_silent_before_a_restart_is_not_said_to_have_never_answered()
    {
        // A new life of the service knows the newest poll of each switch, which brought nothing here; of answers before it nothing.
        var condition = Single(
            new SnapshotBuilder(Harbour.Noon).Answered("quay-west", Harbour.Fresh, Harbour.QuayWest()).NotAnswered("quay-east"), AlarmTypes.SwitchSilent);
        Assert.Contains("no answer since the service started", condition.Text, StringComparison.Ordinal);
    }

    [Fact]
    public void A_switch_behind_another_is_raised_after_that_other_has_been_asked_again()
    {
        var condition = Single(Harbour.AsDesigned(Harbour.Noon).NotAnswered("quay-east"), AlarmTypes.SwitchSilent);
        Assert.Equal(TimeSpan.FromSeconds(70), condition.OnDelay); // quay-west is polled every 60 s, and a poll may take 10 s to give up
    }

    private static DesignModelBuilder Light() => new DesignModelBuilder()
        .DeviceType("light", 50, PoeClass.Class8).Switch("s").Port("s:1/1", 90, PoeType.Type4, PoeClass.Class8)
        .Device("light-1", "light", "pole").Cable("s:1/1", "light-1", 60);

    private static SnapshotBuilder Answer(PortReading port) => new SnapshotBuilder(Harbour.Noon).Answered("s", Harbour.Fresh, port);

    private static SnapshotBuilder West(params PortReading[] instead) =>
        Harbour.AsDesigned(Harbour.Noon).Answered("quay-west", Harbour.Fresh, Harbour.QuayWest(instead));

    private static IReadOnlyList<AlarmCondition> Conditions(DesignModel design, SnapshotBuilder snapshot) =>
        AlarmRules.Evaluate(design, Harbour.Assess(design, snapshot));

    private static AlarmCondition Single(SnapshotBuilder snapshot, string type) =>
        Assert.Single(Conditions(Harbour.Design().Build(), snapshot), c => c.Key.Type == type);
}
