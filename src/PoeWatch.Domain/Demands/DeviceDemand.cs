using PoeWatch.Domain.Design;
using PoeWatch.Domain.Quantities;

namespace PoeWatch.Domain.Demands;

/// <summary>How many of the devices a condition is taken to strike.</summary>
public enum Strikes
{
    /// <summary>All at once: what a run and a pole are held to.</summary>
    All = 0,

    /// <summary>The share that the load case gives the condition.</summary>
    AsSharesSay = 1,

    /// <summary>All by conditions whose share is 1, none by the others.</summary>
    SureOnesOnly = 2,
}

/// <summary>What one device needs at its input in a load case. Pure and thread safe.</summary>
public static class DeviceDemand
{
    /// <summary>The most it needs in the case: a speaker pages itself if anybody does. No coincidence.</summary>
    public static Power Most(DeviceType type, LoadCase loadCase) => Of(type, loadCase, PagingChoice.ConditionOf(loadCase) != LoadCondition.Unknown);

    /// <summary>The load case in which a type needs most, with the watts; of equal ones the first. At least one case is given.</summary>
    public static (LoadCase Case, Power Watts) Worst(DeviceType type, IEnumerable<LoadCase> cases) =>
        cases.Select(loadCase => (Case: loadCase, Watts: Most(type, loadCase))).MaxBy(pair => pair.Watts);

    /// <summary>
    /// The figure that the type gives for the case itself; else its one figure for all cases; else the larger of its typical watts and what the conditions in force make it take, and what they add on
    /// top, never more than its peak.
    /// </summary>
    /// <param name="pages">True where it pages, if it is a speaker.</param>
    /// <param name="strikes">How much of what each condition brings counts.</param>
    public static Power Of(DeviceType type, LoadCase loadCase, bool pages, Strikes strikes = Strikes.All)
    {
        ArgumentNullException.ThrowIfNull(type);
        ArgumentNullException.ThrowIfNull(loadCase);
        if (type.DemandByLoadCase.TryGetValue(loadCase.Id, out var special))
        {
            return special;
        }

        if (type.Physical is not { } physical)
        {
            return type.Demand;
        }

        var (lifted, added) = (Power.Zero, Power.Zero);
        foreach (var condition in InForce(physical, loadCase, pages))
        {
            var share = ShareOf(loadCase, condition, strikes);
            if (physical.Takes.TryGetValue(condition, out var takes))
            {
                lifted = Power.Max(lifted, (takes - physical.Typical) * share);
            }

            if (physical.Adds.TryGetValue(condition, out var adds))
            {
                added += adds * share;
            }
        }

        return Power.Min(physical.Peak, physical.Typical + lifted + added);
    }

    /// <summary>True where the heater runs: at or below its own threshold where the case gives the air temperature, else wherever the case is cold.</summary>
    public static bool HeaterRuns(PhysicalDemand physical, LoadCase loadCase)
    {
        ArgumentNullException.ThrowIfNull(physical);
        ArgumentNullException.ThrowIfNull(loadCase);
        return loadCase.Ambient is { } air && physical.HeaterStartsAt is { } starts
            ? air.Celsius <= starts.Celsius
            : loadCase.Conditions.Contains(LoadCondition.Cold);
    }

    private static IEnumerable<LoadCondition> InForce(PhysicalDemand physical, LoadCase loadCase, bool pages)
    {
        foreach (var condition in loadCase.Conditions)
        {
            if (condition is LoadCondition.Dark or LoadCondition.Wet or LoadCondition.Motion or LoadCondition.ColdStart)
            {
                yield return condition;
            }
        }

        if (HeaterRuns(physical, loadCase))
        {
            yield return LoadCondition.Cold;
        }

        if (pages && physical.IsSpeaker)
        {
            yield return LoadCondition.PagingAll;
        }
    }

    // The share of paging is that of the paging condition in force.
    private static double ShareOf(LoadCase loadCase, LoadCondition condition, Strikes strikes)
    {
        var asked = condition == LoadCondition.PagingAll ? PagingChoice.ConditionOf(loadCase) : condition;
        var share = loadCase.Coincidence.TryGetValue(asked, out var given) ? given.Fraction : 1.0;
        return strikes switch
        {
            Strikes.AsSharesSay => share,
            Strikes.SureOnesOnly => share < 1.0 ? 0.0 : 1.0,
            _ => 1.0,
        };
    }
}
