using PoeWatch.Domain.Alarms;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.Poe;
using PoeWatch.Domain.Quantities;
using PoeWatch.Domain.Tests.Assessment;
using PoeWatch.TestKit.Design;

namespace PoeWatch.Domain.Tests.Alarms;

/// <summary>
/// Configured priority against designed criticality. That low goes first and the highest port number first within a level: Juniper, "priority" statement of PoE;
/// HPE ArubaOS-Switch management guide 16.10, "PoE priority".
/// </summary>
public sealed class PriorityRuleTests
{
    private static readonly AlarmKey s_key = new("group/quay-west:1", AlarmTypes.PriorityDiffers);

    [Fact]
    public void A_switch_that_goes_by_the_design_raises_nothing() =>
        Assert.Null(Condition(Design(), Criticality.Low, Criticality.High, Criticality.Critical));

    [Fact]
    public void A_switch_left_at_its_default_is_told_with_ports_numbers_and_what_would_be_lost()
    {
        // By class 90 W; 60 W remain with the larger supply lost, so port 3 (critical) goes first.
        var condition = Condition(Design(60, 100), Criticality.Low, Criticality.Low, Criticality.Low)!;

        Assert.Equal(AlarmSeverity.Major, condition.Severity);
        Assert.Contains("port quay-west:1/3 (pole pole-3) is critical by design and low in the switch, port 1 (low by design, low in the switch) keeps power longer", condition.Text, StringComparison.Ordinal);
        Assert.Contains("port quay-west:1/2 (pole pole-2) is high by design and low in the switch", condition.Text, StringComparison.Ordinal);
        Assert.Contains("60.0 W remain of 150.0 W", condition.Text, StringComparison.Ordinal);
        Assert.EndsWith("while less critical ones keep it: 3 (critical).", condition.Text, StringComparison.Ordinal);
        Assert.Contains("Likely causes", condition.NextSteps, StringComparison.Ordinal);
        Assert.Contains("never writes", condition.NextSteps, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(Criticality.Critical, Criticality.High, Criticality.High, AlarmSeverity.Minor)] // critical behind low
    [InlineData(Criticality.High, Criticality.High, Criticality.Critical, AlarmSeverity.Warning)] // only high behind low
    public void What_no_loss_of_a_supply_would_show_weighs_less(Criticality first, Criticality second, Criticality third, AlarmSeverity severity) =>
        Assert.Equal(severity, Condition(Design(), first, second, third)!.Severity);

    [Fact]
    public void Where_no_priority_is_read_nothing_is_told_and_nothing_is_known()
    {
        var design = Design();
        var site = Harbour.Assess(design, At(Harbour.Noon, Criticality.Unknown, Criticality.Unknown, Criticality.Unknown));

        Assert.DoesNotContain(AlarmRules.Evaluate(design, site), c => c.Key == s_key);
        Assert.False(AlarmRules.IsKnown(s_key, design, site));
        Assert.True(AlarmRules.IsKnown(s_key, Harbour.Design().Build(), site with { Groups = [] }));
    }

    [Fact]
    public void A_wrong_order_is_one_alarm_that_stands_through_silence_and_clears_when_it_is_set_right()
    {
        var timeline = new BookTimeline();
        void Play(int from, int to, Func<DateTimeOffset, SnapshotBuilder> snapshot)
        {
            for (var second = from; second <= to; second += 10)
            {
                var design = Design(60, 100);
                var site = Harbour.Assess(design, snapshot(BookTimeline.Start.AddSeconds(second)));
                timeline.Apply(
                    second, [.. AlarmRules.Evaluate(design, site).Where(c => c.Key == s_key)], AlarmRules.IsKnown(s_key, design, site));
            }
        }

        Play(0, 20, at => At(at, Criticality.Low, Criticality.Low, Criticality.Low));
        Assert.Empty(timeline.Changes);
        Play(30, 300, at => At(at, Criticality.Low, Criticality.Low, Criticality.Low));
        Assert.Equal(["raised"], timeline.Kinds);
        Play(310, 900, at => At(at, Criticality.Low, Criticality.Low, Criticality.Low).NotAnswered("quay-west"));
        Assert.Equal(["raised"], timeline.Kinds);
        Play(910, 1000, at => At(at, Criticality.Low, Criticality.High, Criticality.Critical));
        Assert.Equal(["raised", "cleared"], timeline.Kinds);
    }

    internal static IReadOnlyList<AlarmCondition> LeftAtDefault() =>
        AlarmRules.Evaluate(Design(60, 100), Harbour.Assess(Design(60, 100), At(Harbour.Noon, Criticality.Low, Criticality.Low, Criticality.Low)));

    private static AlarmCondition? Condition(DesignModel design, params Criticality[] priorities) =>
        AlarmRules.Evaluate(design, Harbour.Assess(design, At(Harbour.Noon, priorities))).SingleOrDefault(c => c.Key == s_key);

    private static SnapshotBuilder At(DateTimeOffset at, params Criticality[] priorities) => new SnapshotBuilder(at).Answered(
        "quay-west", Harbour.Fresh,
        [.. priorities.Select((p, i) => SnapshotBuilder.Delivering($"quay-west:{i + 1}", 9, assigned: PoeClass.Class4) with { Priority = p })]);

    /// <summary>Three cameras, the first low, the second high, the third critical by what hangs there.</summary>
    private static DesignModel Design(params double[] supplies)
    {
        var builder = new DesignModelBuilder().DeviceType("camera", 9)
            .Switch("quay-west", 150, allocation: AllocationPolicy.ByClass, supplies: [.. supplies.Select((w, i) => new Supply($"s{i}", Power.FromWatts(w)))]);
        foreach (var (port, criticality) in new[] { (1, Criticality.Low), (2, Criticality.High), (3, Criticality.Critical) })
        {
            builder.Device($"cam-{port}", "camera", $"pole-{port}", criticality).Port($"quay-west:{port}").Cable($"quay-west:{port}", $"cam-{port}", 40);
        }

        return builder.Build();
    }
}
