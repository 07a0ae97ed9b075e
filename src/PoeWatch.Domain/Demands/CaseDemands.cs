using System.Collections.Immutable;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.Quantities;
using PoeWatch.Domain.Readings;

namespace PoeWatch.Domain.Demands;

/// <summary>What each device of a run needs while some page. Immutable.</summary>
/// <param name="Paging">Who pages.</param>
/// <param name="AtDevices">Watts at their inputs by device id.</param>
public sealed record CaseDemand(PagingChoice Paging, IReadOnlyDictionary<string, Power> AtDevices);

/// <summary>A run in a load case: what its devices need, for each choice of who pages. Pure and thread safe.</summary>
public static class CaseDemands
{
    /// <summary>One demand for each choice among the run's own speakers: all that can be true at the same time, no coincidence. At least one.</summary>
    public static ImmutableArray<CaseDemand> Of(CableRun run, LoadCase loadCase, IReadOnlyCollection<PortSchedule> schedules)
    {
        ArgumentNullException.ThrowIfNull(run);
        return [.. PagingChoice.Of(loadCase, Speakers(run)).Select(paging => Of(run, loadCase, schedules, paging))];
    }

    /// <summary>The demand for one choice.</summary>
    public static CaseDemand Of(
        CableRun run, LoadCase loadCase, IReadOnlyCollection<PortSchedule> schedules, PagingChoice paging, Strikes strikes = Strikes.All)
    {
        ArgumentNullException.ThrowIfNull(run);
        var demands = new Dictionary<string, Power>(StringComparer.Ordinal);
        Visit(run.Root, IsOff(run, loadCase, schedules));
        return new CaseDemand(paging, demands);

        void Visit(FlowNode place, bool isOff)
        {
            if (place.Device is { } device)
            {
                demands[place.ElementId] = isOff ? Power.Zero : DeviceDemand.Of(place.DeviceType!, loadCase, paging.Includes(device), strikes);
            }

            foreach (var child in place.Children)
            {
                var output = new PsePortRef(place.ElementId, 1, child.Incoming.From.Output);
                Visit(child, isOff || PlannedOff.Is(output, loadCase, schedules));
            }
        }
    }

    /// <summary>True where the port that feeds the run is off by plan for the whole case: nothing flows at all.</summary>
    public static bool IsOff(CableRun run, LoadCase loadCase, IReadOnlyCollection<PortSchedule> schedules)
    {
        ArgumentNullException.ThrowIfNull(run);
        return run.Source.Port is { } port && PlannedOff.Is(port, loadCase, schedules);
    }

    /// <summary>The devices of a run that page.</summary>
    public static IEnumerable<PoweredDevice> Speakers(CableRun run)
    {
        ArgumentNullException.ThrowIfNull(run);
        return run.Root.SelfAndBelow().Where(place => place.DeviceType?.Physical?.IsSpeaker == true).Select(place => place.Device!);
    }
}
