using System.Globalization;
using Microsoft.AspNetCore.Http.HttpResults;
using PoeWatch.Api.Problems;

namespace PoeWatch.Api.Endpoints;

/// <summary>Texts and ends of time that people give with an action on alarms. Pure.</summary>
internal static class AlarmWords
{
    private const int TextMax = 1_000;

    /// <summary>What is wrong with a text; null where nothing is.</summary>
    public static ProblemHttpResult? TextFault(string place, string? text, bool isNeeded)
    {
        if (isNeeded && string.IsNullOrWhiteSpace(text))
        {
            return Problem.BadValue(place, text, "It must be said why: the next shift reads it.", "Give a sentence.");
        }

        return text is not null && (text.Length > TextMax || text.Any(c => char.IsControl(c) && c != '\n'))
            ? Problem.BadValue(place, null, $"The text is longer than {TextMax} characters or holds control characters.", "Shorten it.")
            : null;
    }

    /// <summary>An end of time: after its begin and no further than <paramref name="most"/> from it.</summary>
    public static (DateTimeOffset End, ProblemHttpResult? Fault) End(string place, string? written, DateTimeOffset begin, TimeSpan most) =>
        Moment.TryParse(written, null, out var end) && end.Utc > begin && end.Utc <= begin + most
            ? (end.Utc, null)
            : (default, Problem.BadValue(
                place, written,
                string.Create(CultureInfo.InvariantCulture, $"It must be a time with offset or Z, later than the begin ({begin:yyyy-MM-ddTHH:mm:ssZ}) and at most {most.TotalDays:0} days after it."),
                string.Create(CultureInfo.InvariantCulture, $"Give one such as {begin.AddHours(1):yyyy-MM-ddTHH:mm:ssZ}. What lasts longer belongs into the design.")));
}
