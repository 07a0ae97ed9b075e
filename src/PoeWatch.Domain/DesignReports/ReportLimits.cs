using System.Collections.Immutable;
using PoeWatch.Domain.PowerFlow;

namespace PoeWatch.Domain.DesignReports;

/// <summary>Limits of any kind as figures, put in order.</summary>
internal static class ReportLimits
{
    // By so much a value may lie beyond a limit that is not broken: the class table's own rounding (see LimitCheck).
    private const double TableRounding = 0.005;

    internal static ReportLimit Of(LimitMargin limit)
    {
        var isFloor = IsFloor(limit);
        return new ReportLimit(
            ReportNames.Kebab(limit.Kind.ToString()),
            limit.ElementId,
            limit.LimitValue,
            limit.Value,
            isFloor ? limit.Value - limit.LimitValue : limit.LimitValue - limit.Value,
            limit.Unit,
            100.0 * (isFloor ? Share(limit.LimitValue, limit.Value) : Share(limit.Value, limit.LimitValue)),
            limit.IsBroken,
            limit.Sentence,
            limit.Source);
    }

    /// <summary>The binding one first, broken ones next, then by the share that is taken.</summary>
    internal static ImmutableArray<ReportLimit> ClosestFirst(ImmutableArray<LimitMargin> limits, LimitMargin binding)
    {
        var first = Of(binding);
        var rest = limits.Select(Of).Where(limit => limit.Sentence != first.Sentence);
        return [first, .. rest.OrderByDescending(limit => limit.IsBroken).ThenByDescending(limit => limit.TakenPercent)];
    }

    // What is not broken although its value is above the limit has to be a floor; so has what is broken below it.
    private static bool IsFloor(LimitMargin limit) =>
        limit.Kind == LimitKind.PdVoltage
        || (limit.IsBroken ? limit.Value < limit.LimitValue : limit.Value > limit.LimitValue * (1.0 + TableRounding));

    // A limit of nothing is taken whole by nothing, and a millionfold by something: JSON knows no infinity.
    private static double Share(double value, double limit) => limit > 0.0 ? value / limit : value > 0.0 ? 1e6 : 1.0;
}
