using System.Collections.Immutable;

namespace PoeWatch.Domain.DesignReports;

/// <summary>What has to stand in every report: work on poles can hurt people.</summary>
internal static class ReportCautions
{
    internal static ImmutableArray<string> All { get; } =
    [
        "PoE is not a life-safety supply. Do not rely on it where a life depends on a device being fed.",
        "Work on mains, supplies and cabinets only by qualified persons. Local codes and licensed practice decide, not this report.",
        "A port stays live while a pole is open. Switch its feed off, secure it against being switched on again and prove it dead before touching a conductor.",
        "Work at height only by trained persons with fall protection, and not in a thunderstorm, ice or high wind.",
        "Outdoor cables, poles and cabinets need earthing, bonding and surge protection by local codes; have them designed and tested by qualified persons.",
        "The figures are computed from what the design says. Measure loop resistance, volts and watts on site before relying on them.",
    ];
}
