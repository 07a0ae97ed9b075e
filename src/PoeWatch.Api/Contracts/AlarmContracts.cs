using PoeWatch.Domain.Alarms;
using PoeWatch.Domain.Design;

namespace PoeWatch.Api.Contracts;

/// <summary>One alarm, in the words of RFC 8632.</summary>
/// <param name="Id">For addresses: resource and type joined with <c>~</c>.</param>
/// <param name="Severity">warning, minor, major or critical.</param>
/// <param name="OperatorState">none, ack, closed, shelved or un-shelved.</param>
/// <param name="IsStanding">Active for more than 24 hours.</param>
/// <param name="ShelvedUntil">When the shelf or the acceptance ends; null where it is neither.</param>
/// <param name="IsAccepted">True where it is shelved because somebody accepted the deviation.</param>
/// <param name="QuietBecause">Why nobody is called for it: shelved, accepted or maintenance ID; empty where people are.</param>
/// <param name="LikelyCauses">Of its type, the likeliest first: common practice, no source.</param>
/// <param name="Chart">Where the draw at the time is seen.</param>
public sealed record AlarmContract(
    string Id,
    string Resource,
    string Type,
    string Severity,
    bool IsCleared,
    bool IsStanding,
    DateTimeOffset RaisedAt,
    DateTimeOffset ChangedAt,
    string Text,
    string NextSteps,
    string OperatorState,
    string OperatorName,
    string OperatorText,
    DateTimeOffset? ShelvedUntil,
    bool IsAccepted,
    string QuietBecause,
    string Meaning,
    IReadOnlyList<string> LikelyCauses,
    AlarmChartContract Chart)
{
    internal static AlarmContract From(Alarm alarm, DesignModel design, DateTimeOffset now) => new(
        IdOf(alarm.Key),
        alarm.Key.Resource,
        alarm.Key.Type,
        Names.Of(alarm.Severity),
        alarm.IsCleared,
        alarm.IsStanding(now),
        alarm.RaisedAt,
        alarm.ChangedAt,
        alarm.Text,
        alarm.NextSteps,
        Names.Of(alarm.OperatorState),
        alarm.OperatorName,
        alarm.OperatorText,
        alarm.Shelf?.Until,
        alarm.Shelf is { IsAcceptance: true },
        alarm.IsCleared ? "" : alarm.QuietBecause,
        AlarmTypeTable.Find(alarm.Key.Type)?.Meaning ?? "",
        AlarmTypeTable.Find(alarm.Key.Type)?.Causes ?? [],
        AlarmChartContract.Of(alarm, design));

    /// <summary>A slash cannot travel inside one part of an address through every proxy; <c>~</c> can (RFC 3986, 2.3).</summary>
    internal static string IdOf(AlarmKey key) => key.ToString().Replace('/', '~');
}

/// <summary>One change in an alarm's life.</summary>
/// <param name="Kind">raised, severity-changed, cleared, suppressed, note, accepted, purged, or an operator state.</param>
/// <param name="Who">The operator; empty where the service itself.</param>
public sealed record AlarmChangeContract(
    string Id, string Resource, string Type, DateTimeOffset At, string Kind, string Severity, string Who, string Text, string QuietBecause)
{
    internal static AlarmChangeContract From(AlarmChange change) => new(
        AlarmContract.IdOf(change.Key), change.Key.Resource, change.Key.Type, change.At, change.Kind, Names.Of(change.Severity), change.Who, change.Text, change.QuietBecause);
}

/// <summary>What an operator sets.</summary>
/// <param name="State">ack, closed, shelved, un-shelved or none.</param>
/// <param name="Text">Why, for the next shift; at most 1,000 characters.</param>
/// <param name="Until">For shelved: until when, at most 30 days ahead; eight hours where not given.</param>
public sealed record OperatorStateRequest(string? State, string? Text, string? Until = null);
