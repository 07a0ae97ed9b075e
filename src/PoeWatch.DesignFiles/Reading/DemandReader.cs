using System.Collections.Immutable;
using PoeWatch.Domain.Design.Config;

namespace PoeWatch.DesignFiles.Reading;

/// <summary>Reads device types and load cases.</summary>
internal static class DemandReader
{
    public static DeviceTypeConfig ReadDeviceType(MapReader map) => new(map.At)
    {
        Id = map.Text("id"),
        Name = map.Text("name"),
        Class = map.Text("class"),
        DemandWatts = map.Text("demand-w"),
        ExtendedPower = map.Text("extended-power"),
        Demands = [.. map.Pairs("demands-w").Select(pair => new LoadCaseDemandConfig(pair.Name, pair.Value))],
        Source = map.Text("source"),
        Physical = new PhysicalDemandConfig
        {
            IdleWatts = map.Text("idle-w"),
            TypicalWatts = map.Text("typical-w"),
            PeakWatts = map.Text("peak-w"),
            Adds = ByCondition(map, "adds-w"),
            Takes = ByCondition(map, "takes-w"),
            HeaterStartsCelsius = map.Text("heater-starts-c"),
            BootPeakWatts = map.Text("boot-peak-w"),
            BootSeconds = map.Text("boot-s"),
        },
    };

    public static LoadCaseConfig ReadLoadCase(MapReader map) => new(map.At)
    {
        Id = map.Text("id"),
        Name = map.Text("name"),
        Hours = map.Text("hours"),
        Months = map.Texts("months"),
        Conditions = map.Texts("conditions"),
        AmbientCelsius = map.Text("ambient-c"),
        Coincidence = ByCondition(map, "coincidence"),
    };

    private static ImmutableArray<ConditionConfig> ByCondition(MapReader map, string key) =>
        [.. map.Pairs(key).Select(pair => new ConditionConfig(pair.Name, pair.Value))];
}
