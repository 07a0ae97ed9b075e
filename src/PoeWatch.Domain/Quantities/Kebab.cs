using System.Text;

namespace PoeWatch.Domain.Quantities;

/// <summary>How names of the code are written for people and programs. Pure and thread safe.</summary>
public static class Kebab
{
    /// <summary>Lower case with hyphens: <c>ByClass</c> is written <c>by-class</c>.</summary>
    public static string Of(string pascal)
    {
        ArgumentNullException.ThrowIfNull(pascal);
        var text = new StringBuilder(pascal.Length + 4);
        foreach (var letter in pascal)
        {
            if (char.IsAsciiLetterUpper(letter) && text.Length > 0)
            {
                text.Append('-');
            }

            text.Append(char.ToLowerInvariant(letter));
        }

        return text.ToString();
    }
}
