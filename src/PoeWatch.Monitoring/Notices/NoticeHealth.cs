using System.Globalization;
using PoeWatch.Monitoring.Abstractions;

namespace PoeWatch.Monitoring.Notices;

/// <summary>How notices are, in a sentence. Pure.</summary>
public static class NoticeHealth
{
    /// <param name="fullLanes">Lanes that hold as many notices as they may.</param>
    /// <param name="problem">Why the outbox is not worked on; empty where it is.</param>
    public static PartHealth Of(IReadOnlyCollection<LaneView> lanes, int fullLanes, string problem)
    {
        if (problem.Length > 0)
        {
            return new PartHealth("notices", "bad", problem);
        }

        LaneView[] failing = [.. lanes.Where(l => l.FailingSince is not null)];
        var dead = lanes.Sum(l => l.Dead);
        LaneView[] leftOver = [.. lanes.Where(l => !l.IsInSettings && l.Waiting > 0)];
        string[] told =
        [
            .. failing.Select(l => string.Create(
                CultureInfo.InvariantCulture, $"{l.Lane}: not arriving since {l.FailingSince:yyyy-MM-dd HH:mm:ss}Z, {l.Waiting} wait: {l.Problem}")),
            .. fullLanes > 0 ? [FormattableString.Invariant($"{fullLanes} lanes hold as many notices as they may; the alarm changes since wait in the store.")] : Array.Empty<string>(),
            .. leftOver.Select(l => FormattableString.Invariant($"{l.Lane} is no longer in the settings, {l.Waiting} of its notices wait and are given up in time.")),
            .. dead > 0 ? [FormattableString.Invariant($"{dead} notices were given up: see /api/v1/notices?state=dead.")] : Array.Empty<string>(),
        ];
        return told.Length > 0 ? new PartHealth("notices", "degraded", string.Join(' ', told))
            : new PartHealth("notices", "good", lanes.Count == 0 ? "Nobody is told of alarms: the settings name no role." : FormattableString.Invariant($"{lanes.Sum(l => l.Waiting)} notices wait."));
    }
}
