using System.Collections.Immutable;
using PoeWatch.Domain.Demands;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.Poe;
using PoeWatch.Domain.Quantities;
using static PoeWatch.Domain.Tests.Demands.Kinds;

namespace PoeWatch.Domain.Tests.Demands;

/// <summary>What one device needs: hand-worked sums of what conditions add and take.</summary>
public sealed class DeviceDemandTests
{
    [Fact]
    public void Quiet_day_is_typical() => Assert.Equal(20, Most(Camera, Case("day")));

    [Fact]
    public void Conditions_add_up() => Assert.Equal(20 + 8 + 16, Most(Camera, Case("frost", LoadCondition.Dark, LoadCondition.Cold)));

    [Fact]
    public void Nothing_exceeds_the_peak() =>
        Assert.Equal(45, Most(Camera, Case("storm", LoadCondition.Dark, LoadCondition.Cold, LoadCondition.Wet))); // 48 by adding up

    [Fact]
    public void Of_two_figures_the_larger_counts_and_they_are_not_added()
    {
        Assert.Equal(15, Most(Light, Case("night", LoadCondition.Dark)));
        Assert.Equal(36, Most(Light, Case("walk", LoadCondition.Dark, LoadCondition.Motion)));
    }

    [Fact]
    public void Boot_takes_the_place_of_typical_and_the_weather_comes_on_top() =>
        Assert.Equal(24 + 16, Most(Camera, Case("start", LoadCondition.ColdStart, LoadCondition.Cold)));

    [Theory]
    [InlineData(5.0, 36)]
    [InlineData(-20, 36)]
    [InlineData(5.1, 20)]
    public void Ambient_temperature_starts_heaters_at_their_own_threshold(double celsius, double watts)
    {
        Assert.Equal(watts, Most(Camera, Case("air", LoadCondition.Cold).At(celsius)));
        Assert.Equal(watts, Most(Camera, Case("air").At(celsius)));
    }

    [Fact]
    public void Heater_without_a_threshold_runs_wherever_the_case_is_cold()
    {
        var plain = Camera with { HeaterStartsAt = null };

        Assert.Equal(36, Most(plain, Case("cold", LoadCondition.Cold).At(30)));
        Assert.Equal(20, Most(plain, Case("mild").At(-30)));
    }

    [Theory]
    [InlineData(LoadCondition.PagingOne)]
    [InlineData(LoadCondition.PagingGroup)]
    [InlineData(LoadCondition.PagingAll)]
    public void Speaker_takes_its_amplifier_when_it_pages(LoadCondition condition)
    {
        var type = Type(Horn);

        Assert.Equal(22, DeviceDemand.Most(type, Case("page", condition)).Watts);
        Assert.Equal(3, DeviceDemand.Of(type, Case("page", condition), pages: false).Watts);
        Assert.Equal(20, DeviceDemand.Of(Type(Camera), Case("page", condition), pages: true).Watts); // no speaker
    }

    [Fact]
    public void Figure_for_the_load_case_stands_above_conditions_and_one_figure_knows_none()
    {
        var own = Type(Camera) with { DemandByLoadCase = ImmutableDictionary<string, Power>.Empty.Add("frost", Watts(31)) };
        var plain = new DeviceType("plain", "plain", PoeClass.Class3, Watts(9), ImmutableDictionary<string, Power>.Empty);

        Assert.Equal(31, DeviceDemand.Most(own, Case("frost", LoadCondition.Cold)).Watts);
        Assert.Equal(36, DeviceDemand.Most(own, Case("other", LoadCondition.Cold)).Watts);
        Assert.Equal(9, DeviceDemand.Most(plain, Case("other", LoadCondition.Cold, LoadCondition.Dark)).Watts);
    }

    [Fact]
    public void Coincidence_lowers_what_its_condition_brings_and_nothing_else()
    {
        var loadCase = Case("busy", LoadCondition.Dark, LoadCondition.Cold).Sharing(LoadCondition.Dark, 0.25);
        var type = Type(Camera);

        Assert.Equal(44, DeviceDemand.Of(type, loadCase, pages: false).Watts);
        Assert.Equal(20 + (0.25 * 8) + 16, DeviceDemand.Of(type, loadCase, pages: false, Strikes.AsSharesSay).Watts);
        Assert.Equal(36, DeviceDemand.Of(type, loadCase, pages: false, Strikes.SureOnesOnly).Watts);
    }

    [Fact]
    public void Coincidence_of_paging_is_that_of_the_paging_in_force()
    {
        var one = Case("one", LoadCondition.PagingOne).Sharing(LoadCondition.PagingOne, 0.5);

        Assert.Equal(3 + (0.5 * 19), DeviceDemand.Of(Type(Horn), one, pages: true, Strikes.AsSharesSay).Watts);
    }

    private static DeviceType Type(PhysicalDemand physical) =>
        new("type", "type", PoeClass.Class6, physical.Typical, ImmutableDictionary<string, Power>.Empty) { Physical = physical };

    private static double Most(PhysicalDemand physical, LoadCase loadCase) => DeviceDemand.Most(Type(physical), loadCase).Watts;
}
