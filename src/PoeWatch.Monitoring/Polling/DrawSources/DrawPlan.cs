using System.Collections.Immutable;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.DrawSheets;
using PoeWatch.Domain.Readings;
using PoeWatch.Snmp;

namespace PoeWatch.Monitoring.Polling.DrawSources;

/// <summary>One source as it was tried on an agent.</summary>
/// <param name="IsOffered">True where the agent has values in its columns.</param>
internal readonly record struct TriedSource(IDrawSource Source, bool IsOffered, SourceGate Gate)
{
    public bool Passes => IsOffered && Gate.Passes;
}

/// <summary>Which sources are read of one agent at each poll. Immutable.</summary>
/// <param name="Sheet">The sheet in force, or null.</param>
/// <param name="Tried">All sources, in order of rank.</param>
/// <param name="Active">Those that are read, in order of rank.</param>
internal sealed record DrawPlan(DrawSheet? Sheet, ImmutableArray<TriedSource> Tried, ImmutableArray<IDrawSource> Active)
{
    /// <summary>Before anything is known of an agent only what the design names is read.</summary>
    public static DrawPlan Before(DrawColumn? design) =>
        new(null, [], design is null ? [] : [new SheetDrawSource(DrawSourceList.AsSheet(design))]);

    /// <summary>Columns of each poll.</summary>
    public ImmutableArray<Oid> Fast => [.. Active.SelectMany(source => source.Fast).Concat(ClassColumn is { } oid ? [oid] : []).Distinct()];

    /// <summary>The maker's own class column, where the sheet has one.</summary>
    public Oid? ClassColumn => Sheet?.Column(SheetQuantity.PortClass) is { } column ? Oid.Parse(column.Oid) : null;

    /// <summary>Tries all sources; those below the first that measures every port are not read, allocations excepted: they tell whether it measures at all.</summary>
    /// <param name="isOffered">Whether the agent has values in a column.</param>
    public static DrawPlan Of(
        IReadOnlyList<IDrawSource> sources, DrawSheet? sheet, DrawColumn? design, Func<Oid, bool> isOffered, DrawFrame frame)
    {
        // The design's word counts even while its column is empty: a port that is switched on later must not be missed.
        ImmutableArray<TriedSource> tried =
        [
            .. sources.Select((source, rank) => new TriedSource(source, (rank == 0 && design is not null) || isOffered(source.Marker), source.Gate(frame.Offer))),
        ];
        var active = ImmutableArray.CreateBuilder<IDrawSource>();
        var isCovered = false;
        foreach (TriedSource candidate in tried.Where(t => t.Passes))
        {
            if (!isCovered || candidate.Source.Best == Provenance.Allocated)
            {
                active.Add(candidate.Source);
                isCovered |= Covers(candidate.Source, frame);
            }
        }

        return new DrawPlan(sheet, tried, active.ToImmutable());
    }

    /// <summary>The same with every source that passes: for an agent whose best source turned out wrong.</summary>
    public DrawPlan Widened() =>
        Active.Length >= Tried.Count(t => t.Passes) ? this : this with { Active = [.. Tried.Where(t => t.Passes).Select(t => t.Source)] };

    private static bool Covers(IDrawSource source, DrawFrame frame)
    {
        var slots = new DrawSlots(frame.Ports.Ports.Length);
        source.Read(frame, slots);
        return slots.Count > 0 && Enumerable.Range(0, slots.Count).All(slot => slots[slot].Provenance.IsDraw());
    }
}
