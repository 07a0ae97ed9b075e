using System.Collections.Immutable;
using System.Globalization;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.Poe;
using PoeWatch.Domain.Quantities;

namespace PoeWatch.Domain.Budgets;

/// <summary>What one port asks when everything starts after an outage. Immutable; <c>default</c> asks nothing for port 0.</summary>
/// <param name="Port">Port number within the group.</param>
/// <param name="Criticality">Who starts first; an unknown one counts as low.</param>
/// <param name="AssignedClass">Decides the inrush.</param>
/// <param name="BootPeak">Most that it draws while it boots, at the PSE; 0 or more.</param>
/// <param name="Settled">What it draws once it has booted, at the PSE; 0 or more.</param>
public readonly record struct StartDemand(int Port, Criticality Criticality, PoeClass AssignedClass, Power BootPeak, Power Settled);

/// <summary>How a group starts. Immutable.</summary>
/// <param name="Stages">Ports that start together, first stage first; a stage begins when the one before has booted.</param>
/// <param name="CannotStart">Ports that do not fit even alone on top of all that runs before them.</param>
/// <param name="WorstAtOnce">Watts out of the supplies if all ports start at one moment, at the peak of their inrush.</param>
public sealed record ColdStartPlan(ImmutableArray<ImmutableArray<int>> Stages, ImmutableArray<int> CannotStart, Power WorstAtOnce)
{
    /// <summary>True where everything may start at one moment.</summary>
    public bool IsAtOnce => CannotStart.IsEmpty && Stages.Length <= 1;

    /// <summary>The same for people, with the port numbers.</summary>
    public string Sentence
    {
        get
        {
            if (IsAtOnce)
            {
                return Stages.IsEmpty ? "No port starts." : "All ports may start at one moment.";
            }

            var stages = string.Join("; then ", Stages.Select(Numbers));
            var started = Stages.Length switch
            {
                0 => "",
                1 => $" Start {stages}.",
                var count => string.Create(CultureInfo.InvariantCulture, $" It takes {count} stages: {stages}."),
            };
            return $"Not all ports may start at one moment.{started}{(CannotStart.IsEmpty ? "" : $" No room is left for {Numbers(CannotStart)}.")}";
        }
    }

    private static string Numbers(ImmutableArray<int> ports) =>
        $"{(ports.Length == 1 ? "port" : "ports")} {string.Join(", ", ports.Select(port => port.ToString(CultureInfo.InvariantCulture)))}";
}

/// <summary>
/// Whether a PSE group can start everything at once after an outage, and if not, in how many stages. While a stage starts, inrush of its ports and the draw of
/// all that has booted must stay under what the supplies give, and its boot peaks under the budget too (common practice, no source). Pure and thread safe.
/// </summary>
public static class ColdStart
{
    /// <summary>The plan: critical before high before low, within a level the lowest port first; as many a stage as fit.</summary>
    /// <param name="volts">At the ports, above 0: inrush is amperes times these.</param>
    /// <remarks>Where the design names no supplies the budget is all that is known of them, so inrush is held against it, which errs towards more stages.</remarks>
    public static ColdStartPlan Of(PseGroup group, Voltage volts, IEnumerable<StartDemand> demands)
    {
        ArgumentNullException.ThrowIfNull(group);
        ArgumentNullException.ThrowIfNull(demands);
        var (budget, supplies) = (GroupLimits.Usable(group), SuppliesOf(group));
        var waiting = demands.OrderBy(d => PowerSharing.Rank(d.Criticality)).ThenBy(d => d.Port).ToList();
        var worst = InrushOf(waiting, volts);
        var stages = ImmutableArray.CreateBuilder<ImmutableArray<int>>();
        var running = Power.Zero;
        while (waiting.Count > 0)
        {
            var stage = NextStage(waiting, running, supplies, budget, volts);
            if (stage.Count == 0)
            {
                break;
            }

            stages.Add([.. stage.Select(d => d.Port)]);
            running = stage.Aggregate(running, (sum, d) => sum + d.Settled);
            waiting.RemoveAll(stage.Contains);
        }

        return new ColdStartPlan(stages.ToImmutable(), [.. waiting.Select(d => d.Port)], worst);
    }

    /// <summary>What inrush is held against: the supplies together less the switch's own draw; where the design names none, what may be drawn of the budget.</summary>
    public static Power SuppliesOf(PseGroup group)
    {
        ArgumentNullException.ThrowIfNull(group);
        return group.Supplies.IsDefaultOrEmpty ? GroupLimits.Usable(group) : SupplyPower.ForPorts(SupplyPower.Together(group.Supplies), group.OwnDraw);
    }

    /// <summary>A port that does not fit is passed over: a smaller one may.</summary>
    private static List<StartDemand> NextStage(List<StartDemand> waiting, Power running, Power supplies, Power budget, Voltage volts)
    {
        var stage = new List<StartDemand>();
        var booting = running;
        foreach (var demand in waiting)
        {
            var after = booting + demand.BootPeak;
            if (after <= Power.Min(supplies, budget) && running + InrushOf([.. stage, demand], volts) <= supplies)
            {
                stage.Add(demand);
                booting = after;
            }
        }

        return stage;
    }

    private static Power InrushOf(IEnumerable<StartDemand> starting, Voltage volts) => starting.GroupBy(d => d.AssignedClass)
        .Aggregate(Power.Zero, (sum, ofClass) => sum + Inrush.WorstTogether(ofClass.Key, volts, ofClass.Count()));
}
