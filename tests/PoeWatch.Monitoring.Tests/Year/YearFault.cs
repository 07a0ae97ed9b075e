using System.Collections.Immutable;
using PoeWatch.Domain.Alarms;

namespace PoeWatch.Monitoring.Tests.Year;

/// <summary>An alarm that must come. Times are since the start of the year.</summary>
/// <param name="From">Not before this.</param>
/// <param name="RaisedBy">And by then.</param>
/// <param name="Until">Cleared by then.</param>
internal sealed record ExpectedAlarm(AlarmKey Key, TimeSpan From, TimeSpan RaisedBy, TimeSpan Until);

/// <summary>One scripted fault with what is true of it. Whoever writes it states the truth from the size and the design, not from the product's rules.</summary>
/// <param name="Kind">In a few words; one row of the result.</param>
/// <param name="What">Where and how large.</param>
/// <param name="IsNear">True where the size is within 20 % of the limit, on either side.</param>
/// <param name="Lines">Of the fault script.</param>
/// <param name="Expected">Empty where it stays below every limit: then no alarm may come of it.</param>
internal sealed record YearFault(
    string Kind, string What, bool IsNear, TimeSpan From, TimeSpan To, ImmutableArray<string> Lines, ImmutableArray<ExpectedAlarm> Expected)
{
    /// <summary>In order of time, from 1.</summary>
    public int Number { get; init; }

    /// <summary>By how much the clock of the service's machine is stepped at the beginning.</summary>
    public TimeSpan ClockStep { get; init; }

    /// <summary>When the last watt of headroom is really gone at the pace of the fault; null where it never is.</summary>
    public TimeSpan? HeadroomEndsAt { get; init; }
}
