using System.Text;

namespace PoeWatch.Domain.DesignReports.Texts;

/// <summary>Lines of at most 100 characters: headings, paragraphs, tables. Not thread safe.</summary>
internal sealed class TextSheet
{
    public const int Width = 100;
    private readonly StringBuilder _text = new();

    public TextSheet Heading(string words, char rule)
    {
        var line = Wrapped(words, Width).First();
        _text.Append('\n').Append(line).Append('\n').Append(rule, Math.Min(Width, Math.Max(4, line.Length))).Append('\n');
        return this;
    }

    public TextSheet Paragraph(string words, int indent = 0, string bullet = "")
    {
        var margin = new string(' ', indent + bullet.Length);
        var isFirst = true;
        foreach (var line in Wrapped(words, Width - margin.Length))
        {
            _text.Append(isFirst ? margin[bullet.Length..] + bullet : margin).Append(line).Append('\n');
            isFirst = false;
        }

        return this;
    }

    public TextSheet Gap()
    {
        _text.Append('\n');
        return this;
    }

    /// <summary>A cell that is too long goes on in the next line of its row.</summary>
    public TextSheet Table(TextColumn[] columns, IEnumerable<string[]> rows)
    {
        Row(columns, [.. columns.Select(column => column.Title)]);
        Row(columns, [.. columns.Select(column => new string('-', column.Width))]);
        foreach (var row in rows)
        {
            Row(columns, row);
        }

        return this;
    }

    public override string ToString() => _text.ToString();

    private void Row(TextColumn[] columns, string[] cells)
    {
        var wrapped = columns.Select((column, at) => Cell(cells[at], column.Width).ToArray()).ToArray();
        for (var line = 0; line < wrapped.Max(cell => cell.Length); line++)
        {
            var parts = columns.Select((column, at) => column.Pad(line < wrapped[at].Length ? wrapped[at][line] : ""));
            _text.Append(string.Join(' ', parts).TrimEnd()).Append('\n');
        }
    }

    /// <summary>What is indented stays so in every line.</summary>
    private static IEnumerable<string> Cell(string words, int width)
    {
        var indent = words[..(words.Length - words.TrimStart(' ').Length)];
        return Wrapped(words[indent.Length..], width - indent.Length).Select(line => indent + line);
    }

    /// <summary>At spaces where there are any, else anywhere. What somebody wrote may hold control characters; a terminal gets none.</summary>
    private static IEnumerable<string> Wrapped(string words, int width)
    {
        var rest = string.Concat(words.Select(letter => char.IsControl(letter) ? ' ' : letter)).TrimEnd();
        while (rest.Length > width)
        {
            var space = rest.LastIndexOf(' ', width);
            var cut = space > width / 3 ? space : width;
            yield return rest[..cut].TrimEnd();
            rest = rest[cut..].TrimStart();
        }

        yield return rest;
    }
}
