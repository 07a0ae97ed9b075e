using PoeWatch.Domain.Alarms;
using PoeWatch.Domain.Alarms.Maintenance;

namespace PoeWatch.Api.Contracts;

/// <summary>A deviation that somebody accepts.</summary>
/// <param name="Until">Until when, at most 366 days ahead.</param>
/// <param name="Reason">Why; at most 1,000 characters.</param>
public sealed record AcceptanceRequest(string? Until, string? Reason);

/// <summary>A note on an alarm.</summary>
/// <param name="Text">At most 1,000 characters.</param>
public sealed record NoteRequest(string? Text);

/// <summary>Work that is announced.</summary>
/// <param name="Scope">site, pole/ID, switch/ID, run/ID or port/ID.</param>
/// <param name="From">Begin; now where not given.</param>
/// <param name="To">End, at most 14 days after the begin.</param>
/// <param name="Reason">What is done; at most 1,000 characters.</param>
public sealed record MaintenanceRequest(string? Scope, string? From, string? To, string? Reason);

/// <summary>A maintenance window.</summary>
/// <param name="State">announced, in-force, over or ended.</param>
/// <param name="IsOfDesign">True where the design announces it.</param>
/// <param name="AddedAt">When somebody announced it; null where the design does.</param>
/// <param name="EndedAt">When somebody ended it before its time; null where nobody did.</param>
public sealed record MaintenanceContract(
    string Id,
    string Scope,
    DateTimeOffset From,
    DateTimeOffset To,
    string State,
    string Who,
    string Reason,
    bool IsOfDesign,
    DateTimeOffset? AddedAt,
    DateTimeOffset? EndedAt,
    string EndedBy)
{
    internal static MaintenanceContract Of(MaintenanceWindow window, DateTimeOffset now) => new(
        window.Id,
        window.Scope,
        window.From,
        window.To,
        window.EndedAt is not null ? "ended" : window.IsOver(now) ? "over" : window.IsInForce(now) ? "in-force" : "announced",
        window.Who,
        window.Reason,
        window.IsOfDesign,
        window.IsOfDesign ? null : window.AddedAt,
        window.EndedAt,
        window.EndedBy);
}

/// <summary>One alarm type: a row of the alarm inventory of RFC 8632.</summary>
/// <param name="Resource">Kinds of resource that it is raised for.</param>
/// <param name="LikelyCauses">The likeliest first: common practice, no source.</param>
/// <param name="Deadband">In watts where the type is about power, else in its own unit.</param>
public sealed record AlarmTypeContract(
    string Name,
    string Resource,
    string Meaning,
    IReadOnlyList<string> LikelyCauses,
    double OnDelaySeconds,
    double OffDelaySeconds,
    double DeadbandPercent,
    double Deadband)
{
    internal static AlarmTypeContract From(AlarmTypeInfo type, AlarmTimings timings) => new(
        type.Name, type.Resource, type.Meaning, type.Causes, timings.OnDelay.TotalSeconds, timings.OffDelay.TotalSeconds,
        timings.DeadbandShare.Percent, timings.DeadbandWatts);
}
