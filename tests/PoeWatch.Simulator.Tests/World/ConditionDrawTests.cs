using System.Collections.Immutable;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.Poe;
using PoeWatch.Domain.Quantities;
using PoeWatch.Simulator.World;
using PoeWatch.TestKit.Design;

namespace PoeWatch.Simulator.Tests.World;

/// <summary>Devices whose type follows conditions: dark by night, heaters by their own threshold, speakers where paging is forced.</summary>
public sealed class ConditionDrawTests
{
    private static readonly DateTime s_noon = new(2026, 1, 25, 12, 0, 0, DateTimeKind.Utc);
    private static readonly DateTime s_midnight = s_noon.AddHours(12);
    private static readonly DesignModel s_design = new DesignModelBuilder()
        .DeviceType("camera", new PhysicalDemand(Power.FromWatts(12), Power.FromWatts(20), Power.FromWatts(45))
        {
            Adds = Figures((LoadCondition.Dark, 8), (LoadCondition.Cold, 16)),
            HeaterStartsAt = Temperature.FromCelsius(5),
        }, PoeClass.Class6)
        .DeviceType("horn", new PhysicalDemand(Power.FromWatts(3), Power.FromWatts(3), Power.FromWatts(25)) { Takes = Figures((LoadCondition.PagingAll, 22)) })
        .Device("cam", "camera").Device("horn-a", "horn").Device("horn-b", "horn")
        .LoadCase(new LoadCase("one", "one", null, []) { Conditions = [LoadCondition.PagingOne] })
        .LoadCase(new LoadCase("all", "all", null, []) { Conditions = [LoadCondition.PagingAll] })
        .Build();

    [Theory]
    [InlineData(false, 10, 20)]
    [InlineData(true, 10, 28)]
    [InlineData(false, 5, 36)]
    [InlineData(true, -10, 44)]
    public void Night_and_cold_bring_what_the_type_says(bool isNight, double celsius, double watts)
    {
        var (demand, forced) = Demand("cam", isNight ? s_midnight : s_noon, celsius);

        Assert.Equal((watts, (Power?)null), (demand.Watts, forced));
    }

    [Fact]
    public void Forced_paging_makes_one_speaker_or_all_of_them_page()
    {
        Assert.Equal(22, Demand("horn-a", s_noon, 10, "one").Forced!.Value.Watts);
        Assert.Null(Demand("horn-b", s_noon, 10, "one").Forced);
        Assert.Equal(22, Demand("horn-b", s_noon, 10, "all").Forced!.Value.Watts);
        Assert.Null(Demand("horn-b", s_noon, 10).Forced);
    }

    private static (Power Demand, Power? Forced) Demand(string deviceId, DateTime local, double celsius, params string[] forced)
    {
        var device = s_design.Devices[deviceId];
        var type = s_design.DeviceTypes[device.TypeId];
        var demand = new ConditionDraw(s_design).DemandInForce(
            device, type, type.Physical!, local, Temperature.FromCelsius(celsius), forced.ToHashSet(StringComparer.Ordinal), out var forcedDemand);
        return (demand, forcedDemand);
    }

    private static ImmutableSortedDictionary<LoadCondition, Power> Figures(params (LoadCondition Condition, double Watts)[] figures) =>
        ImmutableSortedDictionary.CreateRange(figures.Select(f => KeyValuePair.Create(f.Condition, Power.FromWatts(f.Watts))));
}
