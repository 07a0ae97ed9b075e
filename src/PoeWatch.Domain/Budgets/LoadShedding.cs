using System.Collections.Immutable;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.Quantities;

namespace PoeWatch.Domain.Budgets;

/// <summary>What a PSE group drops when its budget or a supply is lost. Immutable.</summary>
/// <param name="Dropped">In the order in which they lose power.</param>
/// <param name="Kept">Those that never lose power, first the one that would lose it last.</param>
/// <param name="ComingBack">Of the dropped those that still fit afterwards and are fed again: a small port behind a large one.</param>
public sealed record ShedPlan(
    ImmutableArray<PowerRequest> Dropped, ImmutableArray<PowerRequest> Kept, ImmutableArray<PowerRequest> ComingBack);

/// <summary>A port that loses power before one that the design calls less critical keeps it.</summary>
/// <param name="DroppedPort">The more critical one by design, which is dropped.</param>
/// <param name="KeptPort">The least critical one by design of those that stay fed.</param>
public readonly record struct ShedConflict(int DroppedPort, int KeptPort);

/// <summary>
/// Which ports a PSE group drops, and in which order, when less power is left than it feeds: low first, then high, critical last; within a level the
/// highest port number first; it ends as soon as the rest fits. Pure and thread safe.
/// </summary>
/// <remarks>
/// Low goes first when a supply fails: Juniper, "priority" statement of PoE. The lowest port number wins within a level: HPE ArubaOS-Switch management
/// guide 16.10, "PoE priority". What remains in the end is what <see cref="PowerSharing.Fed"/> feeds from the start.
/// </remarks>
public static class LoadShedding
{
    /// <summary>The plan for the ports that are fed now.</summary>
    /// <param name="usable">Watts that are left for all together, guard band taken off.</param>
    /// <param name="fed">What is fed now, with the priority that the PSE itself goes by.</param>
    public static ShedPlan Of(Power usable, IEnumerable<PowerRequest> fed)
    {
        ImmutableArray<PowerRequest> order = [.. PowerSharing.InOrder(fed)];
        var kept = 0;
        for (var left = usable; kept < order.Length && order[kept].Reserve <= left; kept++)
        {
            left -= order[kept].Reserve;
        }

        var used = order[..kept].Aggregate(Power.Zero, static (sum, request) => sum + request.Reserve);
        return new ShedPlan(
            [.. order[kept..].Reverse()], order[..kept], [.. PowerSharing.Fitting(usable - used, order[kept..])]);
    }

    /// <summary>
    /// Ports that the design calls more critical than another which the PSE keeps longer: some loss of power, however small, would hit the wrong one. First
    /// dropped first.
    /// </summary>
    /// <param name="ports">What may be fed, with the priority that the PSE itself goes by.</param>
    /// <param name="designed">By port number; a port that the design does not name counts as low.</param>
    public static ImmutableArray<ShedConflict> Inversions(IEnumerable<PowerRequest> ports, IReadOnlyDictionary<int, Criticality> designed)
    {
        ArgumentNullException.ThrowIfNull(designed);
        var found = new List<ShedConflict>();
        PowerRequest? least = null;
        foreach (var request in PowerSharing.InOrder(ports))
        {
            var rank = PowerSharing.Rank(designed.GetValueOrDefault(request.Port));
            if (least is { } kept && PowerSharing.Rank(designed.GetValueOrDefault(kept.Port)) > rank)
            {
                found.Add(new ShedConflict(request.Port, kept.Port));
            }
            else
            {
                least = request;
            }
        }

        found.Reverse();
        return [.. found];
    }

    /// <summary>
    /// Holds a plan against the criticality of the design: each port that ends without power although a less critical one keeps it. In the plan's order.
    /// </summary>
    /// <param name="designed">By port number; a port that the design does not name counts as low.</param>
    public static ImmutableArray<ShedConflict> Conflicts(ShedPlan plan, IReadOnlyDictionary<int, Criticality> designed)
    {
        ArgumentNullException.ThrowIfNull(plan);
        ArgumentNullException.ThrowIfNull(designed);
        int Rank(PowerRequest request) => PowerSharing.Rank(designed.GetValueOrDefault(request.Port));
        var fed = plan.Kept.Concat(plan.ComingBack).OrderByDescending(Rank).ThenByDescending(request => request.Port).ToImmutableArray();
        return fed.IsEmpty
            ? []
            : [.. plan.Dropped.Except(plan.ComingBack).Where(lost => Rank(lost) < Rank(fed[0])).Select(lost => new ShedConflict(lost.Port, fed[0].Port))];
    }
}
