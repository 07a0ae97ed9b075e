using System.Globalization;
using System.Text;

namespace PoeWatch.DesignFiles.Drafts;

/// <summary>Gives ids of a design: well formed and each once. For one draft.</summary>
internal sealed class IdBook
{
    private const int LengthMax = 64;

    // Room for the number that tells two apart.
    private const int BaseLengthMax = LengthMax - 6;

    private readonly HashSet<string> _taken = new(StringComparer.OrdinalIgnoreCase);

    public string Take(string wanted)
    {
        var id = Slug(wanted) is { Length: > 0 } slug ? slug : "element";
        var unique = id;
        for (var i = 2; !_taken.Add(unique); i++)
        {
            unique = string.Create(CultureInfo.InvariantCulture, $"{id}-{i}");
        }

        return unique;
    }

    /// <summary>Small letters, digits, and hyphens for everything else; empty where nothing is left.</summary>
    public static string Slug(string text)
    {
        var slug = new StringBuilder();
        foreach (var c in text.Normalize(NormalizationForm.FormD))
        {
            if (char.IsAsciiLetterOrDigit(c))
            {
                slug.Append(char.ToLowerInvariant(c));
            }
            else if (slug.Length > 0 && slug[^1] != '-' && CharUnicodeInfo.GetUnicodeCategory(c) != UnicodeCategory.NonSpacingMark)
            {
                slug.Append('-');
            }
        }

        return slug.ToString()[..Math.Min(slug.Length, BaseLengthMax)].Trim('-');
    }
}
