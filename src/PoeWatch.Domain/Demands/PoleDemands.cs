using System.Collections.Immutable;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.Quantities;

namespace PoeWatch.Domain.Demands;

/// <summary>What stands on each pole takes at its inputs, losses left out: they arise along the run, not on the pole. Pure.</summary>
internal static class PoleDemands
{
    /// <summary>Devices with all that can coincide, and what extenders and pass-through switches take for themselves. Poles without a run need nothing.</summary>
    public static IEnumerable<PlaceDemand> Of(DesignModel design, ImmutableArray<LoadCase> cases) => design.Poles.Keys
        .Select(pole => new PlaceDemand(pole, [.. cases.Select(loadCase => On(design, pole, loadCase))]));

    private static CaseWatts On(DesignModel design, string pole, LoadCase loadCase)
    {
        var sum = new LevelSum();
        foreach (var run in design.CableRunsByPole.TryGetValue(pole, out var runs) ? runs : [])
        {
            if (CaseDemands.IsOff(run, loadCase, design.Schedules))
            {
                continue;
            }

            ImmutableArray<FlowNode> here = [.. run.Root.SelfAndBelow().Where(place => place.PoleId == pole)];
            var open = PagingChoice.ConditionOf(loadCase) is LoadCondition.PagingOne or LoadCondition.PagingGroup;
            var speakers = here.Where(place => place.DeviceType?.Physical?.IsSpeaker == true).Select(place => place.Device!);
            var choices = PagingChoice.Of(loadCase, speakers);
            sum.Add(
                Watts(design, run, here, loadCase, open ? PagingChoice.Nobody : choices[0]),
                (open ? choices : []).Select(choice => KeyValuePair.Create(choice, Watts(design, run, here, loadCase, choice))));
        }

        var (watts, paging) = sum.Worst();
        return new CaseWatts(loadCase, watts, paging);
    }

    private static Power Watts(DesignModel design, CableRun run, ImmutableArray<FlowNode> here, LoadCase loadCase, PagingChoice paging)
    {
        var demand = CaseDemands.Of(run, loadCase, design.Schedules, paging).AtDevices;
        return here.Aggregate(Power.Zero, (sum, place) => sum
            + (place.Extender?.OwnDraw ?? place.PassThrough?.OwnDraw ?? demand.GetValueOrDefault(place.ElementId)));
    }
}
