using System.Globalization;
using System.Runtime.CompilerServices;
using System.Text;

namespace PoeWatch.Domain.DesignReports.Pages;

/// <summary>Text that is markup already. Made from an interpolated string, in which every hole that is not markup itself is escaped.</summary>
internal readonly record struct Html(string Text)
{
    internal static Html Of(HtmlPiece piece) => new(piece.Written);

    internal static Html Join(IEnumerable<Html> parts) => new(string.Concat(parts.Select(part => part.Text)));

    /// <summary>Also for attribute values in quotes. What neither HTML nor XML can hold becomes U+FFFD.</summary>
    internal static string Escaped(string words)
    {
        var text = new StringBuilder(words.Length + 8);
        foreach (var rune in words.EnumerateRunes())
        {
            _ = rune.Value switch
            {
                '&' => text.Append("&amp;"),
                '<' => text.Append("&lt;"),
                '>' => text.Append("&gt;"),
                '"' => text.Append("&quot;"),
                '\'' => text.Append("&#39;"),
                < ' ' when rune.Value is not ('\t' or '\n' or '\r') => text.Append('\uFFFD'),
                (>= 0x7F and < 0xA0) or 0xFFFE or 0xFFFF => text.Append('\uFFFD'),
                _ => text.Append(rune.ToString()),
            };
        }

        return text.ToString();
    }

    public override string ToString() => Text;
}

/// <summary>Puts an interpolated string together as markup.</summary>
[InterpolatedStringHandler]
internal readonly ref struct HtmlPiece(int literalLength, int holes)
{
    private readonly StringBuilder _text = new(literalLength + (holes * 16));

    internal string Written => _text.ToString();

    public void AppendLiteral(string markup) => _text.Append(markup);

    public void AppendFormatted(Html markup) => _text.Append(markup.Text);

    public void AppendFormatted(string? words) => _text.Append(Html.Escaped(words ?? ""));

    public void AppendFormatted(int number) => _text.Append(number.ToString(CultureInfo.InvariantCulture));

    public void AppendFormatted(double number) => _text.Append(number.ToString("0.##", CultureInfo.InvariantCulture));
}
