using System.Text;
using PoeWatch.Domain.Evidence;
using PoeWatch.Domain.Evidence.Seals;
using PoeWatch.Evidence.Exports;

namespace PoeWatch.Evidence.Checks;

/// <summary>A line of raw.csv that tells of a row. Immutable.</summary>
/// <param name="Record">Number of the record in the file; the head is 1.</param>
/// <param name="Number">Place of the row in its poll, as the line says.</param>
/// <param name="Hash">Hash of the row, computed anew.</param>
internal readonly record struct RawLine(long Record, EvidenceRow Row, int Number, bool IsSealed, Digest Hash)
{
    /// <summary>Where it is, for people.</summary>
    public string Place => $"raw.csv, record {Record} ({Subject} at {EvidenceTime.Write(Row.AtMicroseconds)})";

    private string Subject => Row.Kind switch
    {
        EvidenceRowKind.Port => $"{Row.PseId}:{Row.Group}/{Row.Port}",
        EvidenceRowKind.Group => $"{Row.PseId}, group {Row.Group}",
        _ => $"poll of {Row.PseId}",
    };
}

/// <summary>Reads raw.csv line by line and checks each line for itself: form, order, the row's own hash.</summary>
internal sealed class RawLines(Stream file, Findings findings)
{
    public long Count { get; private set; }

    public IEnumerable<RawLine> All()
    {
        using var text = new StreamReader(file, new UTF8Encoding(false, throwOnInvalidBytes: true), detectEncodingFromByteOrderMarks: false);
        var records = new CsvRecords(text);
        if (records.Read() is not { } head || !head.SequenceEqual(EvidenceColumns.Raw.Select(c => c.Name)))
        {
            findings.Fault("raw.csv was changed: its first record does not name the columns.");
            yield break;
        }

        RawLine? before = null;
        while (records.Read() is { } fields)
        {
            Count++;
            if (LineOf(fields, records.Number) is not { } line)
            {
                continue;
            }

            if (before is { } last && Compare(last, line) >= 0)
            {
                findings.Fault($"{line.Place} is out of order: it stands behind {last.Place}.");
            }

            before = line;
            yield return line;
        }
    }

    private RawLine? LineOf(List<string> fields, long record)
    {
        if (fields.Count != EvidenceColumns.Raw.Length)
        {
            findings.Fault($"raw.csv, record {record} was changed: it has {fields.Count} fields, not {EvidenceColumns.Raw.Length}.");
            return null;
        }

        var cells = EvidenceColumns.Raw.Select((column, at) => (column.Name, Value: fields[at])).ToDictionary(c => c.Name, c => c.Value, StringComparer.Ordinal);
        if (RawRows.Read(cells, out var problem) is not { } row)
        {
            findings.Fault($"raw.csv, record {record} was changed: {problem}.");
            return null;
        }

        if (!int.TryParse(cells["row_no"], System.Globalization.NumberStyles.None, System.Globalization.CultureInfo.InvariantCulture, out var number)
            || cells["is_sealed"] is not ("true" or "false"))
        {
            findings.Fault($"raw.csv, record {record} was changed: row_no or is_sealed cannot be read.");
            return null;
        }

        var line = new RawLine(record, row, number, cells["is_sealed"] == "true", CanonicalRow.HashOf(row));
        if (line.Hash.ToString() != cells["row_sha256"])
        {
            findings.Fault($"{line.Place} was changed: its hash is {line.Hash}, row_sha256 says {cells["row_sha256"]}.");
        }

        return line;
    }

    private static int Compare(RawLine a, RawLine b)
    {
        var byElement = string.CompareOrdinal(a.Row.PseId, b.Row.PseId);
        var byTime = a.Row.AtMicroseconds.CompareTo(b.Row.AtMicroseconds);
        return byElement != 0 ? byElement : byTime != 0 ? byTime : a.Number.CompareTo(b.Number);
    }
}
