using PoeWatch.Domain.Design.Config;

namespace PoeWatch.DesignFiles.Reading;

/// <summary>Reads how conditions come to be known.</summary>
internal static class ConditionsReader
{
    public static ConditionsConfig Read(MapReader map) => new(map.At)
    {
        DarkBelowDegrees = map.Text("dark-below-deg"),
        ColdBelowCelsius = map.Text("cold-below-c"),
        Climate = map.Map("climate", "climate", climate => new ClimateConfig(climate.At)
        {
            ColdestCelsius = climate.Texts("coldest-c"),
            WarmestCelsius = climate.Texts("warmest-c"),
        }),
        WetMonths = map.Texts("wet-months"),
        Thermometers = map.Maps("thermometers", "thermometer", thermometer => new ThermometerConfig(thermometer.At)
        {
            Id = thermometer.Text("id"),
            Agent = thermometer.Text("agent"),
            PhysicalIndex = thermometer.Text("physical-index"),
            PhysicalName = thermometer.Text("physical-name"),
            Cabinet = thermometer.Text("cabinet"),
        }),
    };
}
