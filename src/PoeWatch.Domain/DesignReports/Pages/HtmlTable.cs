namespace PoeWatch.Domain.DesignReports.Pages;

/// <summary>Tables of the page.</summary>
internal static class HtmlTable
{
    /// <param name="columns">Heads; one that starts with '#' is a column of numbers.</param>
    internal static Html Of(string caption, string[] columns, IEnumerable<Html[]> rows)
    {
        var head = columns.Select(column => column.StartsWith('#')
            ? Html.Of($"<th scope=\"col\" class=\"n\">{column[1..]}</th>")
            : Html.Of($"<th scope=\"col\">{column}</th>"));
        var body = rows.Select(row => Html.Of($"<tr>{Html.Join(row.Select((cell, at) => columns[at].StartsWith('#')
            ? Html.Of($"<td class=\"n\">{cell}</td>")
            : Html.Of($"<td>{cell}</td>")))}</tr>\n"));
        return Html.Of($"<table><caption>{caption}</caption><thead><tr>{Html.Join(head)}</tr></thead>\n<tbody>{Html.Join(body)}</tbody></table>\n");
    }

    internal static Html Cell(string? words) => Html.Of($"{words}");

    /// <summary>The word stands beside, so that weight and colour are never the only sign.</summary>
    internal static Html Marked(string words, bool isMarked, string mark) => isMarked ? Html.Of($"<b>{words}</b> <span class=\"mark\">{mark}</span>") : Cell(words);
}
