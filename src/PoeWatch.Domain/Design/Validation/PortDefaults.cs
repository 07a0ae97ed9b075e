using PoeWatch.Domain.Poe;
using PoeWatch.Domain.Quantities;
using PoeWatch.Domain.Readings;

namespace PoeWatch.Domain.Design.Validation;

/// <summary>What counts of a PSE port where the design does not say.</summary>
internal static class PortDefaults
{
    /// <summary>What an ordinary port gives: 30 W (common practice, no source).</summary>
    public static Power Limit { get; } = Power.FromWatts(30);

    /// <summary>A port that nothing is said of.</summary>
    public static PsePort Plain(PsePortRef port) =>
        new(port, Limit, PoeTables.TypeForOutput(Limit), Grantable(Limit, PoeTables.TypeForOutput(Limit)), Criticality.Low, null);

    /// <summary>What a port of the type gives: the least output of its highest class.</summary>
    public static Power LimitOf(PoeType type) =>
        PoeTables.LimitsOf(PoeTables.LimitsOf(type)!.Value.MaximumClass, type).PseMinimumOutput;

    /// <summary>Highest class within the limit; class 1 where it is too small for any.</summary>
    public static PoeClass Grantable(Power limit, PoeType type) => PoeTables.HighestGrantable(limit, type) ?? PoeClass.Class1;

    /// <summary>Volts to expect at the PSE: 48 V of the first type, 54 V of the later ones (common practice, no source).</summary>
    public static Voltage NominalVolts(PoeType type) => Voltage.FromVolts(type == PoeType.Type1 ? 48 : 54);
}
