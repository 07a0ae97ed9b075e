namespace PoeWatch.Domain.Design.Config;

/// <summary>Planned work as written.</summary>
public sealed record PlannedWorkConfig(WrittenAt At)
{
    public Written<string>? Id { get; init; }

    public Written<string>? Scope { get; init; }

    public Written<string>? From { get; init; }

    public Written<string>? To { get; init; }

    public Written<string>? Who { get; init; }

    public Written<string>? Reason { get; init; }
}
