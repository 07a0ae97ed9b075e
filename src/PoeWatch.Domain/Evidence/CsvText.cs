using System.Buffers;
using System.Text;

namespace PoeWatch.Domain.Evidence;

/// <summary>
/// Writes CSV by RFC 4180: CRLF, fields with comma, quote or line break in quotes, quotes doubled. Text that a spreadsheet would take for a formula gets an
/// apostrophe in front; so does text that begins with one, so that a reader who takes one apostrophe away has the text again. Pure.
/// </summary>
public static class CsvText
{
    private static readonly SearchValues<char> NeedsQuotes = SearchValues.Create(",\"\r\n");

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

    /// <summary>The text of a field that <see cref="AppendRecord"/> wrote.</summary>
    public static string Unguarded(string field) => field.StartsWith('\'') ? field[1..] : field;

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
    private static string Guarded(string field) => field is ['=' or '+' or '-' or '@' or '\t' or '\r' or '\'', ..] ? $"'{field}" : field;
}

/// <summary>Reads CSV by RFC 4180, record by record. Not thread safe.</summary>
public sealed class CsvRecords(TextReader text)
{
    private readonly StringBuilder _field = new();

    /// <summary>Number of the record that was read last, from 1.</summary>
    public long Number { get; private set; }

    /// <summary>The fields of the next record; null at the end.</summary>
    /// <exception cref="InvalidDataException">A quote that does not end, text behind a quote, or a record that does not end with CRLF.</exception>
    public List<string>? Read()
    {
        if (text.Peek() < 0)
        {
            return null;
        }

        Number++;
        var fields = new List<string>();
        while (true)
        {
            fields.Add(text.Peek() == '"' ? Quoted() : Plain());
            switch (text.Read())
            {
                case ',':
                    continue;
                case '\r' when text.Read() == '\n':
                    return fields;
                default:
                    throw new InvalidDataException($"record {Number} does not end with CRLF behind field {fields.Count}");
            }
        }
    }

    private string Plain()
    {
        _field.Clear();
        while (text.Peek() is var next && next >= 0 && next is not (',' or '\r' or '\n' or '"'))
        {
            _field.Append((char)text.Read());
        }

        return _field.ToString();
    }

    private string Quoted()
    {
        _field.Clear();
        text.Read();
        while (true)
        {
            var next = text.Read();
            if (next < 0)
            {
                throw new InvalidDataException($"a quote of record {Number} does not end");
            }

            if (next != '"')
            {
                _field.Append((char)next);
            }
            else if (text.Peek() == '"')
            {
                _field.Append((char)text.Read());
            }
            else
            {
                return _field.ToString();
            }
        }
    }
}
