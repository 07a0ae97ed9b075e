using PoeWatch.Monitoring.Abstractions;

namespace PoeWatch.Api.Contracts;

/// <summary>How one part of the service is: good, degraded or bad.</summary>
public sealed record PartHealthContract(string Part, string Status, string Detail);

/// <summary>How the service itself is.</summary>
/// <param name="Status">The worst of its parts: good, degraded or bad.</param>
/// <param name="WaitingReadingsCount">Readings not yet kept.</param>
/// <param name="WaitingReadingsMaxCount">Beyond this the oldest are dropped and counted.</param>
/// <param name="DroppedReadingsCount">How many were dropped since the start.</param>
/// <param name="LiveStreamCount">Live streams served now.</param>
public sealed record HealthContract(
    string Status,
    string Version,
    DateTimeOffset StartedAt,
    IReadOnlyList<PartHealthContract> Parts,
    int WaitingReadingsCount,
    int WaitingReadingsMaxCount,
    long DroppedReadingsCount,
    int LiveStreamCount)
{
    internal static HealthContract From(ServiceHealth health, int liveStreamCount) => new(
        Worst(health),
        health.Version,
        health.StartedAt,
        [.. health.Parts.Select(p => new PartHealthContract(p.Part, p.Status, p.Detail))],
        health.WaitingReadings,
        health.WaitingReadingsMax,
        health.DroppedReadings,
        liveStreamCount);

    internal static string Worst(ServiceHealth health) =>
        health.Parts.Any(p => p.Status == "bad") ? "bad" : health.Parts.Any(p => p.Status != "good") ? "degraded" : "good";
}

/// <summary>For machines that only ask whether to send work here.</summary>
public sealed record ReadyContract(string Status);
