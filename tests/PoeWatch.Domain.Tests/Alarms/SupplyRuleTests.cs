using PoeWatch.Domain.Alarms;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.Quantities;
using PoeWatch.Domain.Readings;
using PoeWatch.Domain.Tests.Assessment;
using PoeWatch.TestKit.Design;

namespace PoeWatch.Domain.Tests.Alarms;

/// <summary>Headroom of supplies. Floors of 5 W and 2 W; N+1 counts all but the largest supply (common practice, no source).</summary>
public sealed class SupplyRuleTests
{
    private static readonly AlarmKey s_key = new("group/quay-west:1", AlarmTypes.SupplyHeadroomLow);

    // 30 W is left with the larger supply lost.
    [Theory]
    [InlineData(20, null)]
    [InlineData(26, AlarmSeverity.Minor)]
    [InlineData(29, AlarmSeverity.Major)]
    [InlineData(31, AlarmSeverity.Critical)]
    public void An_N_plus_1_group_is_told_before_the_loss_of_a_supply_would_cut_ports(double watts, AlarmSeverity? severity)
    {
        var condition = Conditions(Design(SupplyRedundancy.NPlusOne, 30, 100), watts).SingleOrDefault(c => c.Key == s_key);

        Assert.Equal(severity, condition?.Severity);
        if (condition is not null)
        {
            Assert.Contains("With its largest supply lost (N+1), group quay-west:1 draws", condition.Text, StringComparison.Ordinal);
            Assert.Contains("At least 5.0 W should be left", condition.Text, StringComparison.Ordinal);
        }
    }

    [Fact]
    public void Where_all_supplies_are_needed_the_loss_of_one_is_no_limit() =>
        Assert.DoesNotContain(Conditions(Design(SupplyRedundancy.AllNeeded, 30, 100), 31), c => c.Key == s_key);

    [Fact]
    public void Where_the_budget_ends_first_only_the_budget_is_told()
    {
        var conditions = Conditions(Design(SupplyRedundancy.AllNeeded, 130, 130), 118);

        Assert.Equal([AlarmTypes.BudgetHeadroomLow], conditions.Where(c => c.Key.Resource == s_key.Resource).Select(c => c.Key.Type));
    }

    [Fact]
    public void A_ceiling_raises_nothing_and_clears_only_where_even_it_leaves_enough()
    {
        var design = Design(SupplyRedundancy.NPlusOne, 30, 100);
        foreach (var (watts, isKnown) in new[] { (28.0, false), (20.0, true) })
        {
            var site = Harbour.Assess(design, Snapshot(watts, Provenance.ClassBound));
            Assert.DoesNotContain(AlarmRules.Evaluate(design, site), c => c.Key == s_key);
            Assert.Equal(isKnown, AlarmRules.IsKnown(s_key, design, site));
        }
    }

    internal static IReadOnlyList<AlarmCondition> NearTheEnd() => Conditions(Design(SupplyRedundancy.NPlusOne, 30, 100), 29);

    private static IReadOnlyList<AlarmCondition> Conditions(DesignModel design, double watts) =>
        AlarmRules.Evaluate(design, Harbour.Assess(design, Snapshot(watts, Provenance.Measured)));

    private static SnapshotBuilder Snapshot(double watts, Provenance provenance) =>
        new SnapshotBuilder(Harbour.Noon).Answered("quay-west", Harbour.Fresh, SnapshotBuilder.Delivering("quay-west:1", watts, provenance));

    private static DesignModel Design(SupplyRedundancy redundancy, params double[] supplies) => new DesignModelBuilder()
        .DeviceType("camera", 9).Device("cam-1", "camera", "pole-1")
        .Switch("quay-west", 120, supplies: [.. supplies.Select((w, i) => new Supply($"s{i}", Power.FromWatts(w)))])
        .Group("quay-west", group => group with { Redundancy = redundancy })
        .Port("quay-west:1", 120).Cable("quay-west:1", "cam-1", 40)
        .Build();
}
