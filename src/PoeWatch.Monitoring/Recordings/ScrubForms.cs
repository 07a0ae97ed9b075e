using System.Globalization;
using System.Text.RegularExpressions;

namespace PoeWatch.Monitoring.Recordings;

/// <summary>The forms in which texts hold hardware addresses and numbers. Pure.</summary>
internal static partial class ScrubForms
{
    private const int NumberLengthMax = 6;

    /// <summary>A number that is too short for a serial number, with a decimal point or a sign where there is one.</summary>
    public static bool IsShortNumber(string text) =>
        text.Length <= NumberLengthMax && double.TryParse(text.Trim(), NumberStyles.AllowDecimalPoint | NumberStyles.AllowLeadingSign, CultureInfo.InvariantCulture, out _);

    /// <summary>The twelve digits of a hardware address in any usual form, small; null where the text is none.</summary>
    public static string? Mac(string text) => MacText().Match(text) is { Success: true } match && match.Length == text.Length ? Digits(text) : null;

    /// <summary>Another address, written with the separators of the first.</summary>
    public static string InFormOf(string text, byte[] mac)
    {
        var digits = Convert.ToHexStringLower(mac);
        var next = 0;
        return string.Concat(text.Select(c => char.IsAsciiHexDigit(c) ? digits[next++] : c));
    }

    public static string Digits(string text) => string.Concat(text.Where(char.IsAsciiHexDigit)).ToLowerInvariant();

    [GeneratedRegex("(?<![0-9A-Za-z])(?:[0-9A-Fa-f]{2}([:-])(?:[0-9A-Fa-f]{2}\\1){4}[0-9A-Fa-f]{2}|[0-9A-Fa-f]{4}\\.[0-9A-Fa-f]{4}\\.[0-9A-Fa-f]{4}|[0-9A-Fa-f]{6}-[0-9A-Fa-f]{6}|[0-9A-Fa-f]{12})(?![0-9A-Za-z])")]
    public static partial Regex MacText();

    [GeneratedRegex(@"(?<![0-9.])[0-9]{1,3}(?:\.[0-9]{1,3}){3}(?![0-9.])")]
    public static partial Regex Ipv4Text();
}
