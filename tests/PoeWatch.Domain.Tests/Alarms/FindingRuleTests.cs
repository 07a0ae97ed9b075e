using PoeWatch.Domain.Alarms;
using PoeWatch.Domain.Assessment;
using PoeWatch.Domain.Readings;
using PoeWatch.Domain.Tests.Assessment;

namespace PoeWatch.Domain.Tests.Alarms;

public sealed class FindingRuleTests
{
    private static readonly PsePortRef s_port = new("quay-west", 1, 1);

    [Theory]
    [InlineData(FindingKind.UnitConflict, "group/quay-west:1", "unit-conflict", AlarmSeverity.Minor, "Units conflict at quay-west group 1")]
    [InlineData(FindingKind.WrongDevice, "port/quay-west:1/1", "wrong-device", AlarmSeverity.Minor, "Another device than the design's at port quay-west:1/1 (pole pole-1)")]
    [InlineData(FindingKind.MovedDevice, "port/quay-west:1/1", "moved-device", AlarmSeverity.Minor, "A device of another place stands at port quay-west:1/1 (pole pole-1)")]
    [InlineData(FindingKind.WrongVlan, "port/quay-west:1/1", "wrong-vlan", AlarmSeverity.Warning, "Another VLAN than the design's at port quay-west:1/1 (pole pole-1)")]
    public void A_finding_is_an_alarm_on_its_group_or_port_with_its_own_words(FindingKind kind, string resource, string type, AlarmSeverity severity, string begin)
    {
        AlarmCondition condition = Assert.Single(Conditions(Found(kind)), c => c.Key.Type == type);

        Assert.Equal((resource, severity, $"{begin}: What was seen."), (condition.Key.Resource, condition.Severity, condition.Text));
        Assert.NotEmpty(condition.NextSteps);
    }

    [Fact]
    public void Two_sources_that_conflict_in_one_group_are_one_alarm()
    {
        SiteAssessment site = Found(FindingKind.UnitConflict, FindingKind.UnitConflict);

        Assert.Equal("Units conflict at quay-west group 1: What was seen. What was seen.", Assert.Single(Conditions(site), c => c.Key.Type == AlarmTypes.UnitConflict).Text);
    }

    [Fact]
    public void An_allocation_taken_for_one_is_no_alarm()
    {
        Assert.Equal(Conditions(Found()).Select(c => c.Key), Conditions(Found(FindingKind.AllocationAsDraw)).Select(c => c.Key));
    }

    [Theory]
    [InlineData("group/quay-west:1", "unit-conflict")]
    [InlineData("port/quay-west:1/1", "wrong-vlan")]
    public void An_alarm_of_a_finding_stays_while_the_agent_does_not_answer(string resource, string type)
    {
        var key = new AlarmKey(resource, type);
        SiteAssessment silent = Harbour.Assess(Harbour.Design().Build(), Harbour.AsDesigned(Harbour.Noon).NotAnswered("quay-west"));

        Assert.True(AlarmRules.IsKnown(key, Harbour.Design().Build(), Found()));
        Assert.False(AlarmRules.IsKnown(key, Harbour.Design().Build(), silent));
    }

    private static IReadOnlyList<AlarmCondition> Conditions(SiteAssessment site) => AlarmRules.Evaluate(Harbour.Design().Build(), site);

    private static SiteAssessment Found(params FindingKind[] kinds)
    {
        NetworkSnapshot snapshot = Harbour.AsDesigned(Harbour.Noon).Build();
        SwitchReading reading = snapshot.Latest["quay-west"] with
        {
            Findings = [.. kinds.Select(kind => new ReadingFinding(kind, kind == FindingKind.UnitConflict ? 1 : 0, kind == FindingKind.UnitConflict ? null : s_port, "What was seen."))],
        };
        var found = new Dictionary<string, SwitchReading>(snapshot.Latest) { ["quay-west"] = reading };
        return SiteAssessor.Assess(DesignAnalysis.Of(Harbour.Design().Build()), snapshot with { Latest = System.Collections.Frozen.FrozenDictionary.ToFrozenDictionary(found) });
    }
}
