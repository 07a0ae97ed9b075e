using System.Globalization;
using System.Text;
using System.Text.RegularExpressions;

namespace PoeWatch.DesignFiles;

/// <summary>
/// One text that holds a design and the CSV lists it names: each list stands behind a comment line with its name and length, so that the
/// text stays readable, no two sets of files share it, and it can be taken apart again. Pure.
/// </summary>
internal static partial class JoinedText
{
    public static void Append(StringBuilder joined, string name, string list) =>
        joined.Append(CultureInfo.InvariantCulture, $"\n# file: {name} ({list.Length} characters)\n").Append(list);

    /// <summary>The design itself and the lists by name. A text without lists is the design.</summary>
    public static (string Design, Dictionary<string, string> Lists) Split(string text)
    {
        var lists = new Dictionary<string, string>(StringComparer.Ordinal);
        var first = Heading().Match(text);
        for (var heading = first; heading.Success;)
        {
            var begin = heading.Index + heading.Length;
            var isLength = int.TryParse(heading.Groups["length"].ValueSpan, NumberStyles.None, CultureInfo.InvariantCulture, out var length);
            if (!isLength || length > text.Length - begin)
            {
                // Not one of ours, or cut off: left in place, it is a comment, and the missing list is a problem of its own.
                return (text, []);
            }

            lists[heading.Groups["name"].Value] = text.Substring(begin, length);
            heading = Heading().Match(text, begin + length);
        }

        return (first.Success ? text[..first.Index] : text, lists);
    }

    [GeneratedRegex(@"\n# file: (?<name>[^\n]+) \((?<length>[0-9]{1,9}) characters\)\n", RegexOptions.CultureInvariant)]
    private static partial Regex Heading();
}
