namespace PoeWatch.Domain.Design;

/// <summary>Work at a place that the design announces: a maintenance window. Immutable.</summary>
/// <param name="Scope"><c>site</c>, or <c>pole/ID</c>, <c>switch/ID</c>, <c>run/ID</c>, <c>port/ID</c>.</param>
/// <param name="From">UTC.</param>
/// <param name="To">UTC, later than <paramref name="From"/>.</param>
/// <param name="Who">Who does or answers for it; "the design" where that is not written.</param>
/// <param name="Reason">Why; not empty.</param>
public sealed record PlannedWork(string Id, string Scope, DateTimeOffset From, DateTimeOffset To, string Who, string Reason);
