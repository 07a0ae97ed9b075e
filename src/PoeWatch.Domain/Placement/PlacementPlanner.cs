using System.Collections.Immutable;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.PowerFlow;
using PoeWatch.Domain.Quantities;

namespace PoeWatch.Domain.Placement;

/// <summary>
/// Answers the planner: what can each pole still take, and does one more device of a type fit. Every load case of the design counts, the
/// worst one decides. By default it promises only what the standard guarantees. Pure and thread safe.
/// </summary>
/// <remarks>
/// A live excess is what a run draws above its design, by run id, 0 or more; it is laid on the run's far end, where it weighs most. Budget and supplies of the
/// PSE group count too: a pole with copper to spare behind a group that is full can take nothing.
/// </remarks>
public static class PlacementPlanner
{
    /// <summary>All poles in the order of their ids, those without a run included.</summary>
    /// <param name="rooms">What the groups leave, for the same design and excesses; worked out here where not given.</param>
    public static ImmutableArray<PolePlacement> Poles(
        DesignModel design, IReadOnlyDictionary<string, Power>? excessByRun = null, OperatingMode mode = OperatingMode.Guaranteed, GroupRooms? rooms = null)
    {
        ArgumentNullException.ThrowIfNull(design);
        var within = rooms ?? GroupRooms.Of(design, excessByRun);
        return
        [
            .. design.Poles.Keys.Order(StringComparer.Ordinal).Select(pole => new PolePlacement(
                pole, [.. RunsOf(design, pole).Select(run => On(design, run, pole, ExcessOf(run, excessByRun), mode, within))])),
        ];
    }

    /// <summary>Whether one more device of a type can hang on a pole, for each of its runs; empty where it has none.</summary>
    /// <exception cref="ArgumentException">The design has no such pole.</exception>
    public static ImmutableArray<DeviceFit> Fit(
        DesignModel design,
        string poleId,
        DeviceType type,
        IReadOnlyDictionary<string, Power>? excessByRun = null,
        OperatingMode mode = OperatingMode.Guaranteed,
        GroupRooms? rooms = null)
    {
        ArgumentNullException.ThrowIfNull(design);
        ArgumentNullException.ThrowIfNull(type);
        var within = rooms ?? GroupRooms.Of(design, excessByRun);
        if (!design.Poles.ContainsKey(poleId))
        {
            throw new ArgumentException($"The design has no pole '{poleId}'.", nameof(poleId));
        }

        return
        [
            .. RunsOf(design, poleId).Select(run => DesignDemands.CasesOf(design)
                .Select(loadCase => Trial(design, run, poleId, type, loadCase, ExcessOf(run, excessByRun), mode, within))
                .MinBy(trial => (trial.FirstBroken is null, trial.MarginAfter))!),
        ];
    }

    private static DeviceFit Trial(
        DesignModel design, CableRun run, string poleId, DeviceType type, LoadCase loadCase, Power excess, OperatingMode mode, GroupRooms rooms)
    {
        var place = PlaceOnPole.Of(run, poleId);
        var now = Within(design, run, place, loadCase, excess, mode, rooms);
        return DeviceTrial.Judge(run, place, type, DesignDemands.Of(type, loadCase), now, mode);
    }

    private static RunPlacement On(DesignModel design, CableRun run, string poleId, Power excess, OperatingMode mode, GroupRooms rooms)
    {
        var place = PlaceOnPole.Of(run, poleId);
        var worst = DesignDemands.CasesOf(design).Select(loadCase => Within(design, run, place, loadCase, excess, mode, rooms))
            .MinBy(candidate => (candidate.Extra.Watts, -(candidate.Flow.DrawAtPse ?? Power.Zero)))!;
        return new RunPlacement(run.Id, place.ElementId, PlaceOnPole.FreeOutputs(place), worst.Case.Id, worst.Extra);
    }

    private static WorstLoadCase Within(
        DesignModel design, CableRun run, FlowNode place, LoadCase loadCase, Power excess, OperatingMode mode, GroupRooms rooms) => ExtraWithinGroup.Of(
        run, WorstLoadCase.For(design, run, [loadCase], mode, place.ElementId, excess), mode, rooms.On(run, loadCase));

    private static ImmutableArray<CableRun> RunsOf(DesignModel design, string poleId) =>
        design.CableRunsByPole.TryGetValue(poleId, out var runs) ? runs : [];

    private static Power ExcessOf(CableRun run, IReadOnlyDictionary<string, Power>? excessByRun) =>
        excessByRun is not null && excessByRun.TryGetValue(run.Id, out var excess) ? excess : Power.Zero;
}
