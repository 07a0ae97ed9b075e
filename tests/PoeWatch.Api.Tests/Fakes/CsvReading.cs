using System.Text;

namespace PoeWatch.Api.Tests.Fakes;

/// <summary>Reads CSV by the grammar of RFC 4180, section 2; written apart from the writer so that both can be wrong only in different ways.</summary>
internal static class CsvReading
{
    public static List<List<string>> Parse(string text)
    {
        var records = new List<List<string>>();
        var record = new List<string>();
        var field = new StringBuilder();
        var isQuoted = false;
        for (var i = 0; i < text.Length; i++)
        {
            switch (text[i])
            {
                case '"' when isQuoted && i + 1 < text.Length && text[i + 1] == '"':
                    field.Append('"');
                    i++;
                    break;
                case '"':
                    isQuoted = !isQuoted;
                    break;
                case ',' when !isQuoted:
                    record.Add(field.ToString());
                    field.Clear();
                    break;
                case '\r' when !isQuoted:
                    Assert.Equal('\n', text[++i]);
                    record.Add(field.ToString());
                    records.Add(record);
                    (record, field) = ([], new StringBuilder());
                    break;
                default:
                    field.Append(text[i]);
                    break;
            }
        }

        Assert.Empty(record);
        return records;
    }
}
