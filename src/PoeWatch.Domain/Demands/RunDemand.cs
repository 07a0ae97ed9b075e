using System.Collections.Immutable;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.PowerFlow;
using PoeWatch.Domain.Quantities;

namespace PoeWatch.Domain.Demands;

/// <summary>What a run needs at its PSE in a load case. Immutable.</summary>
/// <param name="Quiet">Where the case leaves open who pages: while nobody on the run does; else the whole.</param>
/// <param name="ByChoice">Where the case leaves it open: the whole by who pages on this run; else empty.</param>
public sealed record RunDemand(Power Quiet, ImmutableDictionary<PagingChoice, Power> ByChoice)
{
    /// <summary>The most, whoever pages.</summary>
    public Power Worst => ByChoice.Values.Append(Quiet).Max();
}

/// <summary>
/// Solves one run for its load cases, what is asked twice only once. A run that cannot be fed counts with the limit of its source, for more than that no source gives. Not thread safe.
/// </summary>
public sealed class RunDemandSolver(CableRun run, IReadOnlyCollection<PortSchedule> schedules, OperatingMode mode = OperatingMode.Expected)
{
    private readonly List<(ImmutableArray<Power> Asked, Power Drawn)> _solved = [];

    /// <summary>All that can be true at once: what the run's own limits are held to.</summary>
    public RunDemand Simultaneous(LoadCase loadCase) => By(loadCase, paging => Drawn(loadCase, paging, Strikes.All));

    /// <summary>
    /// The run's part of what a group, a switch or the site is to be ready for: each condition strikes the share of devices that the case gives it. Losses grow with the square of the load, so the watts
    /// are laid between the run without and the run with all that is struck, not solved for a load that is nowhere.
    /// </summary>
    public RunDemand Coincident(LoadCase loadCase)
    {
        ArgumentNullException.ThrowIfNull(loadCase);
        return loadCase.Coincidence.Values.All(share => share.Fraction >= 1.0)
            ? Simultaneous(loadCase)
            : By(loadCase, paging => Between(loadCase, paging));
    }

    private Power Between(LoadCase loadCase, PagingChoice paging)
    {
        double Sum(Strikes strikes) => CaseDemands.Of(run, loadCase, schedules, paging, strikes).AtDevices.Values.Sum(watts => watts.Watts);
        var (least, most) = (Sum(Strikes.SureOnesOnly), Sum(Strikes.All));
        var weight = most > least ? (Sum(Strikes.AsSharesSay) - least) / (most - least) : 1.0;
        var (from, to) = (Drawn(loadCase, paging, Strikes.SureOnesOnly), Drawn(loadCase, paging, Strikes.All));
        return from + ((to - from) * weight);
    }

    private RunDemand By(LoadCase loadCase, Func<PagingChoice, Power> draw)
    {
        ArgumentNullException.ThrowIfNull(loadCase);
        var choices = PagingChoice.Of(loadCase, CaseDemands.Speakers(run));
        return PagingChoice.ConditionOf(loadCase) is LoadCondition.PagingOne or LoadCondition.PagingGroup
            ? new RunDemand(draw(PagingChoice.Nobody), choices.Remove(PagingChoice.Nobody).ToImmutableDictionary(choice => choice, draw))
            : new RunDemand(draw(choices[0]), ImmutableDictionary<PagingChoice, Power>.Empty);
    }

    private Power Drawn(LoadCase loadCase, PagingChoice paging, Strikes strikes)
    {
        if (CaseDemands.IsOff(run, loadCase, schedules))
        {
            return Power.Zero;
        }

        var demand = CaseDemands.Of(run, loadCase, schedules, paging, strikes);
        ImmutableArray<Power> asked = [.. run.Devices.Select(device => demand.AtDevices[device.Id])];
        var same = _solved.FindIndex(solved => solved.Asked.AsSpan().SequenceEqual(asked.AsSpan()));
        if (same >= 0)
        {
            return _solved[same].Drawn;
        }

        var drawn = Power.Min(PowerFlowSolver.Solve(run, demand.AtDevices, mode).DrawAtPse ?? run.Source.Limit, run.Source.Limit);
        _solved.Add((asked, drawn));
        return drawn;
    }
}
