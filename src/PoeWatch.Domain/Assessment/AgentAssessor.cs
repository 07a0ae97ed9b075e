using System.Globalization;
using PoeWatch.Domain.Readings;

namespace PoeWatch.Domain.Assessment;

/// <summary>How each polled element answers, and whether its silence has a cause further up.</summary>
internal static class AgentAssessor
{
    public static AgentAssessment Assess(AssessmentScope scope, string pseId)
    {
        var outcome = Outcome(scope, pseId);
        var latest = scope.Latest(pseId);
        var detail = (outcome, latest) switch
        {
            (_, null) => "Not polled yet.",
            (PollOutcome.Unknown, _) => string.Create(CultureInfo.InvariantCulture, $"No poll has finished since {latest.At.UtcDateTime:yyyy-MM-dd HH:mm:ss} UTC."),
            _ => latest.Detail,
        };
        return new AgentAssessment(
            pseId, outcome, detail, scope.LastAnswerAt(pseId), outcome == PollOutcome.Silent ? Cause(scope, pseId) : null)
        {
            Upstream = Upwards(scope, pseId),
            Findings = scope.Reading(pseId)?.Findings ?? [],
            UpTime = scope.Reading(pseId)?.UpTime,
            Took = scope.Reading(pseId)?.Took,
        };
    }

    private static PollOutcome Outcome(AssessmentScope scope, string pseId) =>
        scope.Latest(pseId) is { } latest && !scope.IsTooOld(latest) ? latest.Outcome : PollOutcome.Unknown;

    /// <summary>The farthest element up the way that is silent too without a gap between; else the port that should feed it and does not.</summary>
    private static string? Cause(AssessmentScope scope, string pseId)
    {
        string? root = null;
        var seen = new HashSet<string> { pseId };
        for (var up = Upwards(scope, pseId); up is not null && seen.Add(up) && Outcome(scope, up) == PollOutcome.Silent; up = Upwards(scope, up))
        {
            root = up;
        }

        return root ?? DarkFeed(scope, pseId);
    }

    private static string? Upwards(AssessmentScope scope, string pseId)
    {
        var design = scope.Design;
        if (design.Switches.TryGetValue(pseId, out var pse))
        {
            return pse.Uplink?.SwitchId;
        }

        if (design.Injectors.TryGetValue(pseId, out var injector))
        {
            return injector.DataSide?.PseId;
        }

        return scope.Analysis.Source(pseId) is not { } source ? null
            : source.Port?.PseId ?? design.Injectors.GetValueOrDefault(source.InjectorId ?? "")?.DataSide?.PseId;
    }

    private static string? DarkFeed(AssessmentScope scope, string pseId) =>
        scope.Analysis.Source(pseId)?.Port is { } port
            && scope.Port(port) is { State: not (PortState.Delivering or PortState.Unknown) }
            ? port.ToString()
            : null;
}
