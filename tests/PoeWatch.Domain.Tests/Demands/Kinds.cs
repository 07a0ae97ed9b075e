using System.Collections.Immutable;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.Quantities;

namespace PoeWatch.Domain.Tests.Demands;

/// <summary>Types and load cases that the demand tests share. Figures are made up to be added by hand.</summary>
internal static class Kinds
{
    /// <summary>20 W, infrared 8 W, heater 16 W from 5 C down, wiper 4 W, boots at 24 W for 30 s, never more than 45 W.</summary>
    public static PhysicalDemand Camera { get; } = new(Watts(12), Watts(20), Watts(45))
    {
        Adds = By((LoadCondition.Dark, 8), (LoadCondition.Cold, 16), (LoadCondition.Wet, 4)),
        Takes = By((LoadCondition.ColdStart, 24)),
        HeaterStartsAt = Temperature.FromCelsius(5),
        BootLasts = TimeSpan.FromSeconds(30),
    };

    /// <summary>3 W, 22 W when it pages.</summary>
    public static PhysicalDemand Horn { get; } = new(Watts(3), Watts(3), Watts(25.5)) { Takes = By((LoadCondition.PagingAll, 22)) };

    /// <summary>2 W, dimmed 15 W in the dark, 36 W where somebody walks by.</summary>
    public static PhysicalDemand Light { get; } = new(Watts(1), Watts(2), Watts(51)) { Takes = By((LoadCondition.Dark, 15), (LoadCondition.Motion, 36)) };

    public static Power Watts(double watts) => Power.FromWatts(watts);

    public static LoadCase Case(string id, params LoadCondition[] conditions) => new(id, id, null, []) { Conditions = [.. conditions] };

    public static LoadCase At(this LoadCase loadCase, double celsius) => loadCase with { Ambient = Temperature.FromCelsius(celsius) };

    public static LoadCase Sharing(this LoadCase loadCase, LoadCondition condition, double share) =>
        loadCase with { Coincidence = loadCase.Coincidence.SetItem(condition, Ratio.FromFraction(share)) };

    private static ImmutableSortedDictionary<LoadCondition, Power> By(params (LoadCondition Condition, double Watts)[] figures) =>
        ImmutableSortedDictionary.CreateRange(figures.Select(f => KeyValuePair.Create(f.Condition, Power.FromWatts(f.Watts))));
}
