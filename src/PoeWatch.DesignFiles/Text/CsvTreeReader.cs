using System.Collections.Immutable;
using System.Text;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.Design.Config;

namespace PoeWatch.DesignFiles.Text;

/// <summary>
/// Reads a CSV list (RFC 4180, with a header row) as maps, one a row: the header's names are the keys. Empty fields count as not written.
/// A place is the line that the field's row starts in and the field's number.
/// </summary>
/// <param name="keys">Keys that a row may have.</param>
internal sealed class CsvTreeReader(string file, ImmutableArray<string> keys, List<DesignProblem> problems)
{
    public const int RowsMax = 200_000;

    public ImmutableArray<TreeMap> Read(string text)
    {
        if (text.Length > YamlTreeReader.LengthMax)
        {
            Report("file-too-large", 1, 1, "", "The file is larger than 8 MiB.", "Split the site into several designs.");
            return [];
        }

        var records = Split(text);
        if (records.Count == 0)
        {
            Report("empty-file", 1, 1, "", "The file is empty.", "Write a header row with the names of the keys, then one row an element.");
            return [];
        }

        var (_, header) = records[0];
        var names = header.Select(name => name.Trim()).ToArray();
        CheckHeader(names);
        return [.. records.Skip(1).Select(record => ToMap(names, record.Line, record.Fields)).OfType<TreeMap>()];
    }

    private void CheckHeader(string[] names)
    {
        for (var i = 0; i < names.Length; i++)
        {
            if (Array.IndexOf(names, names[i]) < i)
            {
                Report("duplicate-key", 1, i + 1, names[i], $"The header names '{names[i]}' twice.", "Give each column its own key.");
            }

            if (!keys.Contains(names[i]))
            {
                Report(
                    "unknown-key", 1, i + 1, names[i], $"The header names '{names[i]}', which is no key of this list.",
                    $"{Suggestion.Hint(names[i], keys)}The keys here are {string.Join(", ", keys)}.");
            }
        }
    }

    private TreeMap? ToMap(string[] names, int line, List<string> fields)
    {
        if (fields.Count == 1 && fields[0].Length == 0)
        {
            return null; // An empty line.
        }

        if (fields.Count != names.Length)
        {
            Report(
                "csv-field-count", line, Math.Min(fields.Count, names.Length) + 1, string.Join(',', fields),
                $"The row has {fields.Count} fields, the header {names.Length}.", "Give each row as many fields as the header; put fields with a comma in quotes.");
        }

        var entries = names.Zip(fields)
            .Select((pair, index) => (Name: pair.First, Text: pair.Second.Trim(), At: new WrittenAt(file, line, index + 1)))
            .Where(field => field.Text.Length > 0 && keys.Contains(field.Name))
            .DistinctBy(field => field.Name)
            .Select(field => new TreeEntry(new Written<string>(field.Name, field.At), new TreeScalar(field.Text, field.At)));
        return new TreeMap([.. entries], new WrittenAt(file, line, 1));
    }

    private List<(int Line, List<string> Fields)> Split(string text)
    {
        var records = new List<(int, List<string>)>();
        var fields = new List<string>();
        var field = new StringBuilder();
        var (line, recordLine, quoteLine) = (1, 1, 0);
        var (isQuoted, wasQuoted) = (false, false);
        for (var i = text.StartsWith('\uFEFF') ? 1 : 0; i < text.Length; i++)
        {
            var c = text[i];
            line += c == '\n' ? 1 : 0;
            if (isQuoted && c == '"' && i + 1 < text.Length && text[i + 1] == '"')
            {
                field.Append('"');
                i++;
            }
            else if (isQuoted)
            {
                isQuoted = c != '"';
                field.Append(isQuoted ? c.ToString() : "");
            }
            else if (c == '"' && field.Length == 0 && !wasQuoted)
            {
                (isQuoted, wasQuoted, quoteLine) = (true, true, line);
            }
            else if (c is ',' or '\n')
            {
                fields.Add(field.ToString());
                field.Clear();
                wasQuoted = false;
                if (c == '\n')
                {
                    records.Add((recordLine, fields));
                    (fields, recordLine) = ([], line);
                    if (records.Count > RowsMax)
                    {
                        Report("file-too-large", line, 1, "", $"The file has more than {RowsMax} rows.", "Split the site into several designs.");
                        return records;
                    }
                }
            }
            else if (c == '"' || (wasQuoted && c is not '\r' and not ' '))
            {
                Report("csv-quote", line, fields.Count + 1, field.ToString() + c, "A quote stands in the middle of a field.", "Put the whole field in quotes and double the quotes in it (RFC 4180).");
            }
            else if (c != '\r')
            {
                field.Append(c);
            }
        }

        if (isQuoted)
        {
            Report("csv-quote", quoteLine, fields.Count + 1, "\"", "A quoted field never ends.", "Close the field with a quote.");
        }

        if (field.Length > 0 || fields.Count > 0)
        {
            fields.Add(field.ToString());
            records.Add((recordLine, fields));
        }

        return records;
    }

    private void Report(string code, int line, int column, string value, string message, string remedy) =>
        problems.Add(new DesignProblem(ProblemKind.Error, code, new WrittenAt(file, line, column), "", value, message, remedy));
}
