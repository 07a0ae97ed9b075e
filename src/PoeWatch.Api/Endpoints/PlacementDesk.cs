using System.Collections.Immutable;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.Placement;
using PoeWatch.Domain.Quantities;
using PoeWatch.Monitoring.Abstractions;

namespace PoeWatch.Api.Endpoints;

/// <summary>
/// What every pole can still take, kept until the design or a live excess changes: it takes a solution per run and load case, and people turn
/// pages. Thread safe.
/// </summary>
internal sealed class PlacementDesk
{
    private readonly Lock _gate = new();
    private Answer? _newest;

    /// <summary>Poles, with what their groups leave.</summary>
    public Answer Of(SiteView view)
    {
        var excess = ExcessOf(view);
        lock (_gate)
        {
            if (_newest is null || _newest.Design != view.Design || !_newest.Excess.SequenceEqual(excess))
            {
                var rooms = GroupRooms.Of(view.Design, excess, DemandDesk.Known(view));
                _newest = new Answer(view.Design, excess, rooms, PlacementPlanner.Poles(view.Design, excess, rooms: rooms));
            }

            return _newest;
        }
    }

    /// <summary>What runs draw above their design, by id; runs within it are left out.</summary>
    public static ImmutableSortedDictionary<string, Power> ExcessOf(SiteView view) => view.Assessment.CableRuns.Values
        .Where(r => r.Excess > Power.Zero)
        .ToImmutableSortedDictionary(r => r.CableRunId, r => r.Excess, StringComparer.Ordinal);

    /// <summary>What was found for a design and its live excesses.</summary>
    internal sealed record Answer(
        DesignModel Design, ImmutableSortedDictionary<string, Power> Excess, GroupRooms Rooms, ImmutableArray<PolePlacement> Poles);
}
