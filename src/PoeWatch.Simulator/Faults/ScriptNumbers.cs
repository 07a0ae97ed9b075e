using System.Globalization;
using System.Text.RegularExpressions;
using PoeWatch.Domain.Poe;
using PoeWatch.Domain.Quantities;

namespace PoeWatch.Simulator.Faults;

/// <summary>Figures out of a matched sentence, by the name of their group. Pure.</summary>
internal static class ScriptNumbers
{
    // What comes later than that comes never; a TimeSpan ends soon after.
    private const double MostDays = 1_000_000;

    /// <summary>Out of the groups <c>time</c> and <c>unit</c>; at most a million days.</summary>
    public static TimeSpan Time(Match match)
    {
        var days = Number(match, "time") / match.Groups["unit"].Value switch
        {
            "s" => 86_400,
            "m" => 1_440,
            "h" => 24,
            _ => 1,
        };
        return TimeSpan.FromSeconds(Math.Round(Math.Min(days, MostDays) * 86_400, 6));
    }

    public static Power? Watts(Match match) => match.Groups["watts"].Success ? Power.FromWatts(Number(match, "watts")) : null;

    public static PoeClass? Class(Match match) =>
        match.Groups["class"].Success ? (PoeClass)(int)Number(match, "class") : null;

    public static double Number(Match match, string group) =>
        double.Parse(match.Groups[group].Value, NumberStyles.Float, CultureInfo.InvariantCulture);

    /// <summary>The figure where it lies within bounds; null, and noted, where it does not.</summary>
    public static double? Within(double least, double most, string unit, Match match, string group, ScriptNames names)
    {
        var value = Number(match, group);
        if (value >= least && value <= most)
        {
            return value;
        }

        names.Problem(match.Groups[group].Value, "This figure is out of reach.", FormattableString.Invariant($"Write {least} to {most} {unit}").TrimEnd() + ".");
        return null;
    }

    /// <summary>A period of a second or more; null, and noted, where it is shorter.</summary>
    public static TimeSpan? Period(Match match, ScriptNames names)
    {
        if (Time(match) is var period && period >= TimeSpan.FromSeconds(1))
        {
            return period;
        }

        names.Problem(match.Groups["time"].Value + match.Groups["unit"].Value, "This period is too short.", "Write 1 s or more.");
        return null;
    }
}
