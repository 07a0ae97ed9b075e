using System.Globalization;
using System.Text.RegularExpressions;

namespace PoeWatch.House.Tests.Settings;

/// <summary>What a text says of a setting: its bounds and its default, times in milliseconds.</summary>
internal readonly partial record struct Bounds(double Least, double Most)
{
    /// <summary>Reads '100 ms to 30 s' or '0 to 5'; null where the text gives no bounds.</summary>
    public static Bounds? ReadFrom(string text) => Span().Match(text) is { Success: true } match
        ? new Bounds(Number(match, "a", match.Groups["au"].Success ? "au" : "bu"), Number(match, "b", "bu"))
        : null;

    /// <summary>Reads the first number of a text, with its unit.</summary>
    public static double? FirstNumber(string text) => Quantity().Match(text) is { Success: true } match ? Number(match, "a", "au") : null;

    /// <summary>The same scale for what an attribute or a property holds.</summary>
    public static double Of(object value) => value switch
    {
        TimeSpan time => time.TotalMilliseconds,
        string text => TimeSpan.Parse(text, CultureInfo.InvariantCulture).TotalMilliseconds,
        IConvertible number => number.ToDouble(CultureInfo.InvariantCulture),
        _ => double.NaN,
    };

    private static double Number(Match match, string number, string unit) =>
        double.Parse(match.Groups[number].Value, CultureInfo.InvariantCulture) * match.Groups[unit].Value switch
        {
            "s" => 1_000,
            "min" => 60_000,
            "h" => 3_600_000,
            "day" or "days" => 86_400_000,
            _ => 1,
        };

    [GeneratedRegex(@"(?<a>\d+(\.\d+)?)( (?<au>ms|s|min|h|days?)\b)? to (?<b>\d+(\.\d+)?)( (?<bu>ms|s|min|h|days?)\b)?")]
    private static partial Regex Span();

    [GeneratedRegex(@"(?<a>\d+(\.\d+)?)( (?<au>ms|s|min|h|days?)\b)?")]
    private static partial Regex Quantity();
}
