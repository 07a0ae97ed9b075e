using System.Collections.Immutable;
using System.Globalization;
using System.Text;
using PoeWatch.Domain.DrawSheets;

namespace PoeWatch.Monitoring.Polling.Inspection;

/// <summary>Writes a draw sheet for somebody to complete. What stands in it is a hint until it was checked on the device. Pure.</summary>
internal static class SheetSkeleton
{
    public static string Write(string objectId, ImmutableArray<FoundColumn> found)
    {
        var text = new StringBuilder()
            .Append("# To complete: name, mib, source; then check a port's figure against the device's own display or a watt meter.\n")
            .Append(CultureInfo.InvariantCulture, $"format: {DrawSheetBuilder.Format}\n")
            .Append("name: FILL-IN\nmib: FILL-IN\nsource: \"FILL-IN\"\n");
        if (objectId.Length > 0)
        {
            text.Append(CultureInfo.InvariantCulture, $"fits: [{objectId}]\n");
        }

        text.Append("columns:\n");
        if (found.IsEmpty)
        {
            text.Append("  # Nothing below the maker's arc behaves as watts of ports. Look for a column in the maker's MIB.\n")
                .Append("  - {holds: draw, oid: FILL-IN, unit: milliwatt, index: group-and-port}\n");
        }

        for (var i = 0; i < found.Length; i++)
        {
            FoundColumn column = found[i];
            text.Append(CultureInfo.InvariantCulture, $"  # {(column.Unit is null ? "Behaves as watts do; the unit is not known" : "Adds up to the group's figure in this unit")}. Largest number: {column.Highest:0.###}.\n")
                .Append(i == 0 ? "  - " : "  # - ")
                .Append(CultureInfo.InvariantCulture, $"{{holds: draw, oid: {column.Oid}, unit: {Word(SheetChoices.Unit.Choices, column.Unit) ?? "FILL-IN"}, index: {Word(SheetChoices.Index.Choices, column.Index)}{(column.IsText ? ", type: text" : "")}}}\n");
        }

        return text.ToString();
    }

    private static string? Word<T>(ImmutableArray<(string Word, T Meaning)> choices, T? meaning)
        where T : struct, Enum
    {
        foreach (var (word, value) in choices)
        {
            if (meaning is { } wanted && value.Equals(wanted))
            {
                return word;
            }
        }

        return null;
    }
}
