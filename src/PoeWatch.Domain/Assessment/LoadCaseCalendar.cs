using System.Collections.Immutable;
using PoeWatch.Domain.Design;

namespace PoeWatch.Domain.Assessment;

/// <summary>Which load cases can be in force at a moment, and which can still come this season, in the site's own time. Pure and thread safe.</summary>
public sealed class LoadCaseCalendar
{
    private readonly ImmutableArray<LoadCase> _cases;
    private readonly TimeZoneInfo _zone;

    /// <param name="cases">In the order of the design; at least one.</param>
    /// <param name="timeZoneId">IANA id. Where this machine does not know it the windows are read in UTC.</param>
    public LoadCaseCalendar(ImmutableArray<LoadCase> cases, string timeZoneId)
    {
        ArgumentOutOfRangeException.ThrowIfZero(cases.Length);
        _cases = cases;
        _zone = TimeZoneInfo.TryFindSystemTimeZoneById(timeZoneId, out var zone) ? zone : TimeZoneInfo.Utc;
    }

    /// <summary>The moment on the site's own clock.</summary>
    public DateTime LocalTime(DateTimeOffset now) => TimeZoneInfo.ConvertTime(now, _zone).DateTime;

    /// <summary>
    /// Positions of the cases whose months and hours hold now. Where the design leaves a moment to no case, all that can still come count, so that a
    /// draw is not called too high for want of a case.
    /// </summary>
    public ImmutableArray<int> InForce(DateTimeOffset now)
    {
        var local = LocalTime(now);
        var time = TimeOnly.FromDateTime(local);
        var found = Positions(c => IsOfMonth(c, local.Month) && (c.Window is not { } window || window.Contains(time)));
        return found.IsEmpty ? CanStillCome(now) : found;
    }

    /// <summary>Positions of the cases of this month or the next; where there are none, of all: something will come some day.</summary>
    public ImmutableArray<int> CanStillCome(DateTimeOffset now)
    {
        var month = LocalTime(now).Month;
        var found = Positions(c => IsOfMonth(c, month) || IsOfMonth(c, (month % 12) + 1));
        return found.IsEmpty ? Positions(_ => true) : found;
    }

    private static bool IsOfMonth(LoadCase loadCase, int month) => loadCase.Months.IsEmpty || loadCase.Months.Contains(month);

    private ImmutableArray<int> Positions(Func<LoadCase, bool> holds) => [.. Enumerable.Range(0, _cases.Length).Where(i => holds(_cases[i]))];
}
