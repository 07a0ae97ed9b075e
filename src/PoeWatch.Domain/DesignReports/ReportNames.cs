using System.Globalization;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.Poe;

namespace PoeWatch.Domain.DesignReports;

/// <summary>The written names of things in a report.</summary>
internal static class ReportNames
{
    internal static string Of(PoeType type) => type == PoeType.Unknown ? "outside the standard" : string.Create(CultureInfo.InvariantCulture, $"Type {(int)type}");

    internal static string Of(PoeClass poeClass) => string.Create(CultureInfo.InvariantCulture, $"class {(int)poeClass}");

    internal static string Of(Termination from) => string.Create(CultureInfo.InvariantCulture, $"{from.ElementId}:{(from.Group == 1 ? "" : $"{from.Group}/")}{from.Output}");

    internal static string Group(string pseId, int number) => string.Create(CultureInfo.InvariantCulture, $"{pseId}:{number}");

    internal static string? OfPole(DesignModel design, string? id) => id is not null && design.Poles.TryGetValue(id, out var pole) ? pole.Name : id;

    /// <summary>When a load case can be in force, in the site's own time.</summary>
    internal static string When(LoadCase loadCase)
    {
        var hours = loadCase.Window is { } window && window.From != window.To
            ? string.Create(CultureInfo.InvariantCulture, $"{window.From:HH\\:mm} to {window.To:HH\\:mm}")
            : "all day";
        var months = loadCase.Months.IsEmpty
            ? "all year"
            : string.Join(", ", loadCase.Months.Select(CultureInfo.InvariantCulture.DateTimeFormat.GetAbbreviatedMonthName));
        return $"{hours}, {months}";
    }
}
