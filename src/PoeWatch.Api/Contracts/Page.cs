using PoeWatch.Monitoring.Abstractions;

namespace PoeWatch.Api.Contracts;

/// <summary>One page of a list.</summary>
/// <param name="ViewVersion">Which picture of the site it was taken from; pages of one list may come from different ones.</param>
/// <param name="At">Time of that picture, UTC.</param>
/// <param name="TotalCount">Items in the whole list.</param>
/// <param name="NextCursor">Give it as <c>cursor</c> for the next page; null on the last one.</param>
public sealed record Page<T>(long ViewVersion, DateTimeOffset At, int TotalCount, string? NextCursor, IReadOnlyList<T> Items)
{
    internal static Page<T> From(SiteView view, Slice<T> slice) => new(view.Version, view.Assessment.At, slice.TotalCount, slice.NextCursor, slice.Items);
}

/// <summary>The part of a list that one page shows.</summary>
internal sealed record Slice<T>(IReadOnlyList<T> Items, int TotalCount, string? NextCursor);
