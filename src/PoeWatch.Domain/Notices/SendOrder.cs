using System.Collections.Immutable;

namespace PoeWatch.Domain.Notices;

/// <summary>In which order a lane sends what is due: severe resources first, each resource in its own order, held ones together. Pure.</summary>
public static class SendOrder
{
    /// <summary>Notices in one digest at most; the rest go in the next one.</summary>
    public const int DigestMax = 100;

    /// <summary>What is sent one after the other; each part is one message. Where one fails, the later ones wait.</summary>
    public static ImmutableArray<ImmutableArray<Notice>> Of(IEnumerable<Notice> due)
    {
        Notice[] all = [.. due.OrderBy(n => n.Id)];

        // Held ones go first, being older than what came at once since; save where one came after a notice of its resource that is still waiting: it then
        // keeps its place behind that.
        var firstSingle = all.Where(n => !n.IsHeld).GroupBy(n => n.Content.Resource).ToDictionary(group => group.Key, group => group.First().Id);
        var held = all.ToLookup(n => n.IsHeld && !(firstSingle.TryGetValue(n.Content.Resource, out var first) && first < n.Id));
        var digests = held[true].Chunk(DigestMax).Select(part => part.ToImmutableArray());
        var single = held[false]
            .GroupBy(n => n.Content.Resource)
            .OrderByDescending(group => group.Max(n => n.Content.Severity))
            .ThenBy(group => group.First().Id)
            .SelectMany(group => group)
            .Select(n => ImmutableArray.Create(n));
        return [.. digests, .. single];
    }
}
