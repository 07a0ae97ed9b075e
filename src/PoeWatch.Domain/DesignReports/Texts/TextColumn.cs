namespace PoeWatch.Domain.DesignReports.Texts;

/// <summary>A column of a table in fixed width.</summary>
internal readonly record struct TextColumn(string Title, int Width, bool IsRight = false)
{
    public string Pad(string text) => IsRight ? text.PadLeft(Width) : text.PadRight(Width);
}
