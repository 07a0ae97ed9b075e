using System.Globalization;

namespace PoeWatch.Domain.Design.Validation;

/// <summary>Reads spans of the day such as <c>18:00-06:00</c>.</summary>
internal static class DailyWindows
{
    public static DailyWindow Read(ProblemList problems, Written<string> written, string element, string key)
    {
        var parts = written.Value.Split('-', StringSplitOptions.TrimEntries);
        if (parts.Length == 2 && TryTime(parts[0], out var from) && TryTime(parts[1], out var to))
        {
            return new DailyWindow(from, to);
        }

        problems.Error(
            "malformed-hours", written, element, $"'{key}' must be a span of the day.",
            "Write two times of a 24-hour clock from 00:00 to 23:59 as 'HH:MM-HH:MM', for example '18:00-06:00'; midnight is 00:00.");
        return default;
    }

    private static bool TryTime(string text, out TimeOnly time) =>
        TimeOnly.TryParseExact(text, "HH:mm", CultureInfo.InvariantCulture, DateTimeStyles.None, out time);
}
