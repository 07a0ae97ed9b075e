using System.Collections.Immutable;
using PoeWatch.Domain.Design;

namespace PoeWatch.Domain.DesignReports;

/// <summary>What people should know of a design: the check's own warnings, then what the figures show. One cause is one warning with all its places.</summary>
internal static class ReportWarnings
{
    private const string Check = "design-check";

    internal static ImmutableArray<ReportWarning> Of(
        DesignModel design, ImmutableArray<ReportCableRun> runs, ImmutableArray<ReportSwitch> switches, DateTimeOffset madeAt)
    {
        ImmutableArray<ReportWarning> byCheck =
        [
            .. design.Warnings.Select(w => new ReportWarning(w.Code, Check, w.Element.Length == 0 ? [] : [w.Element], w.Message, w.Remedy)),
        ];
        var known = byCheck.SelectMany(w => w.Elements.Select(element => (w.Code, element))).ToHashSet();
        return
        [
            .. byCheck,
            .. CableRunWarnings.Of(design, runs, known),
            .. CableWarnings.Of(runs),
            .. SourceWarnings.Of(design, runs, switches, DateOnly.FromDateTime(madeAt.UtcDateTime), known),
        ];
    }

    /// <summary>Nothing where there is no place.</summary>
    internal static IEnumerable<ReportWarning> Where(string code, IEnumerable<string> elements, string message, string remedy)
    {
        ImmutableArray<string> places = [.. elements.Distinct(StringComparer.Ordinal)];
        return places.IsEmpty ? [] : [new ReportWarning(code, "report", places, message, remedy)];
    }
}
