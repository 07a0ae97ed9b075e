using PoeWatch.Domain.Design;

namespace PoeWatch.DesignFiles.Tests;

/// <summary>The section 'conditions' of a design.</summary>
public sealed class ConditionsTests
{
    private const string Base = """
        format: poewatch-design/1
        site: {coordinates: {latitude-deg: 57, longitude-deg: -8}}
        switches:
          - {id: quay, address: 192.0.2.10, groups: [{budget-w: 370}]}

        """;

    private const string Climate = "{coldest-c: [-8, -8, -6, -2, 1, 5, 8, 8, 6, 2, -3, -7], warmest-c: [11, 11, 14, 17, 21, 24, 26, 26, 22, 18, 14, 12]}";

    [Fact]
    public void All_of_it_arrives_in_the_model()
    {
        var plan = Designs.Load(Base + $$"""
            conditions:
              dark-below-deg: -4.5
              cold-below-c: 3
              climate: {{Climate}}
              wet-months: [10, 11, 1]
              thermometers:
                - {id: quay-air, agent: quay, physical-name: "Outdoor air"}
                - {id: quay-cabinet, agent: quay, physical-index: 1002, cabinet: quay}
            """).Result.Model!.Conditions;
        Assert.Equal((-4.5, 3.0), (plan.DarkBelowDegrees, plan.ColdBelow!.Value.Celsius));
        Assert.Equal((-8.0, 26.0), (plan.Climate!.Coldest[0].Celsius, plan.Climate.Warmest[7].Celsius));
        Assert.Equal([1, 10, 11], plan.WetMonths);
        Assert.Equal(-3, plan.Climate.ColdestOf(11).Celsius);
        Assert.Equal(-8, plan.Climate.ColdestOf(12, 1).Celsius);
        Assert.Equal(("quay", null, "Outdoor air", null), (plan.Thermometers[0].PseId, plan.Thermometers[0].PhysicalIndex, plan.Thermometers[0].PhysicalName, plan.Thermometers[0].Cabinet));
        Assert.Equal((1002, "quay"), (plan.Thermometers[1].PhysicalIndex, plan.Thermometers[1].Cabinet));
    }

    [Fact]
    public void Without_it_dark_is_below_civil_twilight_and_nothing_else_is_said()
    {
        var plan = Designs.Load(Base).Result.Model!.Conditions;
        Assert.Equal((-6.0, null, null), (plan.DarkBelowDegrees, plan.ColdBelow, plan.Climate));
        Assert.Empty(plan.Thermometers);
        Assert.True(plan.MayBeWetIn(7));
    }

    [Theory]
    [InlineData("{dark-below-deg: -20}", "out-of-range")]
    [InlineData("{cold-below-c: warm}", "wrong-type")]
    [InlineData("{wet-months: [0]}", "out-of-range")]
    [InlineData("{climate: {coldest-c: [1, 2], warmest-c: [1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1]}}", "not-twelve-months")]
    [InlineData("{climate: {coldest-c: [1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1], warmest-c: [1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 0]}}", "climate-swapped")]
    [InlineData("{climate: {coldest-c: [1, 1, 1, 1, 1, 1, x, 1, 1, 1, 1, 1], warmest-c: [1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 2]}}", "wrong-type")]
    [InlineData("{thermometers: [{id: t, agent: kay, physical-index: 1}]}", "unknown-agent")]
    [InlineData("{thermometers: [{id: t, agent: quay}]}", "thermometer-not-named")]
    [InlineData("{thermometers: [{id: t, agent: quay, physical-index: 1, physical-name: air}]}", "thermometer-not-named")]
    [InlineData("{thermometers: [{id: t, agent: quay, physical-index: 0}]}", "out-of-range")]
    [InlineData("{thermometers: [{id: t, agent: quay, physical-index: 1}, {id: t, agent: quay, physical-index: 2}]}", "duplicate-id")]
    [InlineData("{thermometers: [{agent: quay, physical-index: 1}]}", "missing")]
    public void What_cannot_be_is_refused_with_its_place_and_a_remedy(string section, string code)
    {
        var problem = Assert.Single(Designs.Check(Base + "conditions: " + section + "\n"), p => p.Kind == ProblemKind.Error);
        Assert.Equal((code, 5), (problem.Code, problem.At.Line));
        Assert.NotEmpty(problem.Remedy);
    }
}
