using System.Collections.Immutable;
using System.Globalization;
using PoeWatch.Domain.PowerFlow;
using PoeWatch.Domain.Quantities;

namespace PoeWatch.Domain.DesignReports;

/// <summary>Limits of any kind as figures, put in order.</summary>
internal static class ReportLimits
{
    // By so much a value may lie beyond a limit that is not broken: the class table's own rounding (see LimitCheck).
    private const double TableRounding = 0.005;

    internal static ReportLimit Of(LimitMargin limit) => Of(limit, 0);

    private static ReportLimit Of(LimitMargin limit, int number)
    {
        var isFloor = IsFloor(limit);
        var kind = Kebab.Of(limit.Kind.ToString());
        return new ReportLimit(
            string.Create(CultureInfo.InvariantCulture, $"{kind}/{limit.ElementId}/{number}"),
            kind,
            limit.ElementId,
            limit.LimitValue,
            limit.Value,
            isFloor ? limit.Value - limit.LimitValue : limit.LimitValue - limit.Value,
            limit.Unit,
            100.0 * (isFloor ? Share(limit.LimitValue, limit.Value) : Share(limit.Value, limit.LimitValue)),
            limit.IsBroken,
            limit.IsAdvice,
            limit.Sentence,
            limit.Source);
    }

    /// <summary>The binding one first, broken ones next, then by the share that is taken.</summary>
    internal static ImmutableArray<ReportLimit> ClosestFirst(ImmutableArray<LimitMargin> limits, LimitMargin binding)
    {
        // An element has several limits of one kind (outputs); both modes list them in the order of the tree.
        var seen = new Dictionary<(LimitKind Kind, string Element), int>();
        ReportLimit[] all =
        [
            .. limits.Select(limit => Of(limit, seen[(limit.Kind, limit.ElementId)] = seen.GetValueOrDefault((limit.Kind, limit.ElementId)) + 1)),
        ];
        var first = all.FirstOrDefault(limit => limit.Sentence == binding.Sentence) ?? Of(binding);
        var rest = all.Where(limit => limit.Sentence != first.Sentence);
        return [first, .. rest.OrderByDescending(limit => limit.IsBroken && !limit.IsAdvice).ThenByDescending(limit => limit.TakenPercent)];
    }

    // What is not broken although its value is above the limit has to be a floor; so has what is broken below it.
    private static bool IsFloor(LimitMargin limit) =>
        limit.Kind == LimitKind.PdVoltage
        || (limit.IsBroken ? limit.Value < limit.LimitValue : limit.Value > limit.LimitValue * (1.0 + TableRounding));

    // A limit of nothing is taken whole by nothing, and a millionfold by something: JSON knows no infinity.
    private static double Share(double value, double limit) => limit > 0.0 ? value / limit : value > 0.0 ? 1e6 : 1.0;
}
