using System.Text;

namespace PoeWatch.Api.Export;

/// <summary>
/// Writes CSV by RFC 4180: CRLF, fields with comma, quote or line break in quotes, quotes doubled. Text that a spreadsheet would take for a
/// formula gets an apostrophe in front. Pure.
/// </summary>
internal static class CsvText
{
    private static readonly System.Buffers.SearchValues<char> NeedsQuotes = System.Buffers.SearchValues.Create(",\"\r\n");

    /// <summary>One record with its CRLF. Fields are text; null is an empty field.</summary>
    public static void AppendRecord(StringBuilder to, params ReadOnlySpan<string?> fields)
    {
        for (var i = 0; i < fields.Length; i++)
        {
            if (i > 0)
            {
                to.Append(',');
            }

            AppendField(to, Guarded(fields[i] ?? ""));
        }

        to.Append("\r\n");
    }

    private static void AppendField(StringBuilder to, string field)
    {
        if (!field.AsSpan().ContainsAny(NeedsQuotes))
        {
            to.Append(field);
            return;
        }

        to.Append('"').Append(field.Replace("\"", "\"\"", StringComparison.Ordinal)).Append('"');
    }

    /// <summary>Names come from switches and designs: one that starts like a formula must not run on an auditor's desk.</summary>
    private static string Guarded(string field) => field is ['=' or '+' or '-' or '@' or '\t' or '\r', ..] ? $"'{field}" : field;
}
