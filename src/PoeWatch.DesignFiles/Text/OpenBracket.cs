namespace PoeWatch.DesignFiles.Text;

/// <summary>
/// A bracket or brace that is never closed, told by its own line. A YAML parser notices it only lines later, and by then good lines look
/// broken. <paramref name="Line"/>, <paramref name="Column"/> and <paramref name="LastLine"/>, the one that should close it, count from 1;
/// <paramref name="Closed"/> is the last line with what it lacks.
/// </summary>
internal readonly record struct OpenBracket(int Line, int Column, int LastLine, string Closed)
{
    /// <summary>The first one: it is still open where the next item or a key further left begins, or at the end of the text.</summary>
    public static OpenBracket? Find(string[] lines)
    {
        var open = new Stack<(int Line, int Column)>();
        var last = 0;
        for (var i = 0; i < lines.Length; i++)
        {
            var start = lines[i].Length - lines[i].TrimStart().Length;
            if (open.TryPeek(out var at) && BeginsAnew(lines[i], start, lines[at.Line]))
            {
                break;
            }

            if (!TryScan(lines, i, open))
            {
                return null;
            }

            last = string.IsNullOrWhiteSpace(lines[i]) ? last : i;
        }

        return open.TryPeek(out var first) && open.Count <= YamlTreeReader.DepthMax ? Close(lines, open, first, last) : null;
    }

    private static bool BeginsAnew(string line, int start, string opened) =>
        start < line.TrimEnd().Length
        && (line[start..].StartsWith("- ", StringComparison.Ordinal)
            || (start <= opened.Length - opened.TrimStart().Length && line[start] is not (']' or '}' or '#')));

    // False where a quote stays open, or a bracket is closed by a brace or the other way round: then it is not clear what is wrong.
    private static bool TryScan(string[] lines, int number, Stack<(int Line, int Column)> open)
    {
        var line = lines[number];

        // Before a value: the line's start, or what stands between values. Only there quotes and, outside of brackets, brackets have a meaning.
        var isBeforeValue = true;
        for (var i = 0; i < line.Length; i++)
        {
            switch (line[i])
            {
                case '#' when i == 0 || char.IsWhiteSpace(line[i - 1]):
                    return true;
                case '"' or '\'' when isBeforeValue:
                    i = EndOfQuote(line, i);
                    if (i < 0)
                    {
                        return false;
                    }

                    break;
                case '[' or '{' when isBeforeValue || open.Count > 0:
                    open.Push((number, i));
                    isBeforeValue = true;
                    continue;
                case ']' or '}' when open.TryPop(out var at):
                    if ((lines[at.Line][at.Column] == '[') != (line[i] == ']'))
                    {
                        return false;
                    }

                    break;
            }

            isBeforeValue = line[i] == ' ' ? isBeforeValue : line[i] is ',' or ':' or '-' && (i + 1 == line.Length || line[i + 1] is ' ' or '[' or '{');
        }

        return true;
    }

    private static int EndOfQuote(string line, int start)
    {
        for (var i = start + 1; i < line.Length; i++)
        {
            var isEscape = line[start] == '"' ? line[i] == '\\' : line[i] == '\'' && i + 1 < line.Length && line[i + 1] == '\'';
            if (isEscape)
            {
                i++;
            }
            else if (line[i] == line[start])
            {
                return i;
            }
        }

        return -1;
    }

    private static OpenBracket Close(string[] lines, Stack<(int Line, int Column)> open, (int Line, int Column) at, int last)
    {
        var line = lines[last].TrimEnd();
        var comment = line.IndexOf(" #", StringComparison.Ordinal);
        var closers = open.Select(o => lines[o.Line][o.Column] == '[' ? ']' : '}');
        return new OpenBracket(at.Line + 1, at.Column + 1, last + 1, (comment < 0 ? line : line[..comment]) + string.Concat(closers));
    }
}
