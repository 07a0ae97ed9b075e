using System.Collections.Immutable;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.Design.Validation;

namespace PoeWatch.Domain.DrawSheets;

/// <summary>Checks a written sheet whole and builds it. Pure.</summary>
public static class DrawSheetBuilder
{
    /// <summary>The only format so far.</summary>
    public const string Format = "poewatch-draw-sheet/1";

    /// <summary>The sheet, or null where one of the problems found is an error.</summary>
    public static DrawSheet? Build(DrawSheetConfig written, bool isOwn, ICollection<DesignProblem> found)
    {
        var problems = new ProblemList();
        var name = written.Name?.Value ?? "";
        var values = new ValueReader(problems, name, written.At);
        CheckFormat(values, written.Format);
        values.Text(written.Name, "name", "a short name, such as the MIB module in lower case");
        var mib = values.Text(written.Mib, "mib", "the MIB module that defines the columns");
        var source = values.Text(written.Source, "source", "where the numbers were read: file, document or device");
        foreach (Written<string> id in written.Fits)
        {
            CheckOid(values, id, "fits");
        }

        ImmutableArray<SheetColumn> columns = [.. written.Columns.Select(column => Column(problems, name, column))];
        CheckWhole(values, written, columns);
        var sheet = new DrawSheet(
            name, mib, source, [.. written.Fits.Select(id => id.Value)], columns, values.Choice(written.ClassCoding, SheetChoices.Coding),
            [.. written.Exceptions.Select(exception => Exception(problems, name, exception))], isOwn);
        foreach (DesignProblem problem in problems.InOrder())
        {
            found.Add(problem);
        }

        return problems.HasError ? null : sheet;
    }

    private static void CheckFormat(ValueReader values, Written<string>? format)
    {
        if (values.Text(format, "format", $"'{Format}'") is { Length: > 0 } and not Format)
        {
            values.Problems.Error("unknown-format", format!, values.Element, $"'{format!.Value}' is no format of draw sheets.", $"Write '{Format}'.");
        }
    }

    private static SheetColumn Column(ProblemList problems, string name, SheetColumnConfig written)
    {
        var values = new ValueReader(problems, name, written.At);
        SheetQuantity holds = values.Choice(written.Holds, SheetChoices.Holds);
        var oid = values.Text(written.Oid, "oid", "the column's OID in dotted numbers, without the index");
        CheckOid(values, written.Oid, "oid");
        SheetIndex index = values.Choice(written.Index, SheetChoices.Index);
        SheetUnit unit = Unit(values, written, holds);
        if ((holds == SheetQuantity.Measures) != (index == SheetIndex.Group))
        {
            problems.Error(
                "index-of-other-column", written.Index?.At ?? written.At, name, written.Index?.Value ?? "", "Only a 'measures' column is indexed by group alone, and it must be.",
                "Write 'index: group' for 'holds: measures', and another index for everything else.");
        }

        return new SheetColumn(holds, oid, unit, index, values.Choice(written.Type, SheetChoices.Type));
    }

    private static SheetUnit Unit(ValueReader values, SheetColumnConfig written, SheetQuantity holds)
    {
        SheetUnit[] lawful = holds switch
        {
            SheetQuantity.Draw or SheetQuantity.Allocated or SheetQuantity.Limit => [SheetUnit.Milliwatt, SheetUnit.Deciwatt, SheetUnit.Watt],
            SheetQuantity.Volts => [SheetUnit.Millivolt, SheetUnit.Decivolt, SheetUnit.Volt],
            SheetQuantity.Amperes => [SheetUnit.Milliampere, SheetUnit.Ampere],
            _ => [],
        };
        var words = string.Join(", ", SheetChoices.Unit.Choices.Where(c => lawful.Contains(c.Meaning)).Select(c => c.Word));
        if (lawful.Length == 0)
        {
            if (written.Unit is { } needless)
            {
                values.Problems.Error("needless-unit", needless, values.Element, "This column is a plain number and has no unit.", "Remove 'unit'.");
            }

            return SheetUnit.None;
        }

        SheetUnit unit = values.Choice(written.Unit, SheetChoices.Unit);
        if (written.Unit is not null && !lawful.Contains(unit))
        {
            values.Problems.Error(
                "unit-of-other-quantity", written.Unit, values.Element, $"'{written.Unit.Value}' is no unit of what the column holds.", $"Write one of {words}.");
        }

        return unit;
    }

    private static SheetException Exception(ProblemList problems, string name, SheetExceptionConfig written)
    {
        var values = new ValueReader(problems, name, written.At);
        values.Choice(written.DrawIs, SheetChoices.DrawIs);
        if (written.ObjectId is null && written.DescriptionHas is null)
        {
            values.Missing("object-id", "a beginning of sysObjectID, or 'description-has' with words of sysDescr");
        }

        CheckOid(values, written.ObjectId, "object-id");
        return new SheetException(
            written.ObjectId?.Value ?? "", written.DescriptionHas?.Value ?? "", values.Text(written.Source, "source", "where it was read that these agents differ"));
    }

    private static void CheckOid(ValueReader values, Written<string>? oid, string key)
    {
        if (oid is not null && !ObjectIdentifiers.IsLawful(oid.Value))
        {
            values.Problems.Error(
                "malformed-oid", oid, values.Element, $"'{oid.Value}' in '{key}' is not an OID.",
                "Write dotted numbers without a leading dot, for example '1.3.6.1.4.1.32473.1.2'.");
        }
    }

    private static void CheckWhole(ValueReader values, DrawSheetConfig written, ImmutableArray<SheetColumn> columns)
    {
        for (var i = 0; i < columns.Length; i++)
        {
            if (columns[..i].Any(earlier => earlier.Holds == columns[i].Holds))
            {
                values.Problems.Error(
                    "second-column", written.Columns[i].At, values.Element, written.Columns[i].Holds?.Value ?? "", "The sheet has two columns that hold the same.",
                    "Keep the better one; two layouts are two sheets.");
            }
        }

        var hasWatts = columns.Any(c => c.Holds is SheetQuantity.Draw or SheetQuantity.Allocated);
        var hasParts = columns.Any(c => c.Holds == SheetQuantity.Volts) && columns.Any(c => c.Holds == SheetQuantity.Amperes);
        if (!hasWatts && !hasParts)
        {
            values.Missing("columns", "at least one column that holds draw or allocated, or both volts and amperes");
        }
    }
}
