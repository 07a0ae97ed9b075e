using System.Globalization;
using System.Net;
using System.Text;

namespace PoeWatch.Acceptance.Tests.Support;

/// <summary>One record of the CSV export: its fields by the names of the header.</summary>
internal sealed record ExportRecord(IReadOnlyDictionary<string, string> Fields)
{
    public string Kind => Fields["record"];

    public string Port => Fields["port_ref"];

    public DateTimeOffset At => DateTimeOffset.Parse(Fields["time_utc"], CultureInfo.InvariantCulture);
}

/// <summary>Takes the auditor's export and reads it by RFC 4180, as a program of somebody else would.</summary>
internal static class ExportFile
{
    public static async Task<IReadOnlyList<ExportRecord>> ReadAsync(Rest rest, DateTimeOffset from, DateTimeOffset to)
    {
        var (status, text) = await rest.SendAsync(
            HttpMethod.Get, $"/api/v1/export.csv?from={Uri.EscapeDataString($"{from:O}")}&to={Uri.EscapeDataString($"{to:O}")}");
        Assert.True(status == HttpStatusCode.OK, $"The export gave {(int)status}: {text}");
        var rows = Rows(text);
        var records = rows.Skip(1).Select(row => new ExportRecord(rows[0].Zip(row).ToDictionary(f => f.First, f => f.Second))).ToList();
        Assert.True(records.Count > 0 && records[^1].Kind == "end", $"The export is not whole: {text}");
        return records;
    }

    /// <summary>Readings of one port in the order of time.</summary>
    public static List<ExportRecord> Readings(this IEnumerable<ExportRecord> records, string port) =>
        [.. records.Where(r => r.Kind == "reading" && r.Port == port).OrderBy(r => r.At)];

    /// <summary>The longest time between two readings that follow each other.</summary>
    public static TimeSpan LongestPause(this IReadOnlyList<ExportRecord> readings) =>
        readings.Zip(readings.Skip(1), (a, b) => b.At - a.At).DefaultIfEmpty(TimeSpan.Zero).Max();

    private static List<List<string>> Rows(string text)
    {
        var rows = new List<List<string>>();
        var row = new List<string>();
        var field = new StringBuilder();
        var quoted = false;
        for (var i = 0; i < text.Length; i++)
        {
            switch (text[i])
            {
                case '"' when quoted && i + 1 < text.Length && text[i + 1] == '"':
                    field.Append(text[++i]);
                    break;
                case '"':
                    quoted = !quoted;
                    break;
                case ',' when !quoted:
                    row.Add(field.ToString());
                    field.Clear();
                    break;
                case '\n' when !quoted:
                    row.Add(field.ToString().TrimEnd('\r'));
                    field.Clear();
                    rows.Add(row);
                    row = [];
                    break;
                default:
                    field.Append(text[i]);
                    break;
            }
        }

        return rows;
    }
}
