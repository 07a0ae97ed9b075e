using System.Globalization;

namespace PoeWatch.Api.Endpoints;

/// <summary>
/// Length of a step given in an address: a whole number with its unit, <c>30s</c>, <c>15m</c>, <c>1h</c> or <c>1d</c>; from 1 second to 365
/// days. <c>default</c> is no lawful step.
/// </summary>
public readonly record struct StepLength(TimeSpan Length)
{
    private static readonly TimeSpan Max = TimeSpan.FromDays(365);

    /// <summary>Reads a step; used by the binding of addresses.</summary>
    public static bool TryParse(string? text, IFormatProvider? provider, out StepLength step)
    {
        step = default;
        if (text is null || text.Length is < 2 or > 9 || !int.TryParse(text.AsSpan(0, text.Length - 1), NumberStyles.None, CultureInfo.InvariantCulture, out var count))
        {
            return false;
        }

        var unitSeconds = text[^1] switch { 's' => 1, 'm' => 60, 'h' => 3_600, 'd' => 86_400, _ => 0 };
        var length = TimeSpan.FromSeconds((double)count * unitSeconds);
        if (length <= TimeSpan.Zero || length > Max)
        {
            return false;
        }

        step = new StepLength(length);
        return true;
    }
}
