using PoeWatch.Domain.Alarms;
using PoeWatch.Domain.Notices;

namespace PoeWatch.Domain.Tests.Notices;

/// <summary>When a role is told: quiet hours and digests by the site's clock.</summary>
public sealed class RoleRouteTests
{
    private static readonly TimeZoneInfo Oslo = TimeZoneInfo.FindSystemTimeZoneById("Europe/Oslo");
    private static readonly QuietHours Night = new(new TimeOnly(22, 0), new TimeOnly(6, 0));

    // Worked by hand; the zone is +01:00, from 29 March 2026 01:00Z on +02:00, from 25 October 2026 01:00Z on +01:00 again (IANA).
    [Theory]
    [InlineData("2026-11-25T20:59:59Z", null)]
    [InlineData("2026-11-25T21:00:00Z", "2026-11-26T05:00:00Z")]
    [InlineData("2026-11-25T23:30:00Z", "2026-11-26T05:00:00Z")]
    [InlineData("2026-11-26T04:59:59Z", "2026-11-26T05:00:00Z")]
    [InlineData("2026-11-26T05:00:00Z", null)]
    [InlineData("2026-03-28T22:00:00Z", "2026-03-29T04:00:00Z")]
    [InlineData("2026-10-24T21:00:00Z", "2026-10-25T05:00:00Z")]
    public void Quiet_hours_over_midnight_end_in_the_morning_of_the_site(string at, string? end) =>
        Assert.Equal(end is null ? null : Time(end), Night.EndAt(Time(at), Oslo));

    [Theory]
    [InlineData("2026-11-25T11:30:00Z", "2026-11-25T12:00:00Z")]
    [InlineData("2026-11-25T12:00:00Z", null)]
    [InlineData("2026-11-25T10:59:59Z", null)]
    public void Quiet_hours_within_a_day_end_that_day(string at, string? end) =>
        Assert.Equal(end is null ? null : Time(end), new QuietHours(new TimeOnly(12, 0), new TimeOnly(13, 0)).EndAt(Time(at), Oslo));

    [Theory]
    [InlineData("2026-11-25T10:07:00Z", 15, "2026-11-25T10:15:00Z")]
    [InlineData("2026-11-25T10:15:00Z", 15, "2026-11-25T10:30:00Z")]
    [InlineData("2026-11-25T10:07:00Z", 1440, "2026-11-25T23:00:00Z")]
    [InlineData("2026-11-25T22:30:00Z", 420, "2026-11-25T23:00:00Z")]
    [InlineData("2026-03-29T10:00:00Z", 1440, "2026-03-29T22:00:00Z")]
    public void Digests_come_at_the_same_hours_of_each_day(string now, int minutes, string due)
    {
        var route = new RoleRoute("planner") { DigestBelow = AlarmSeverity.Critical, DigestPeriod = TimeSpan.FromMinutes(minutes) };
        Assert.Equal((Time(due), true), route.DueAt(AlarmSeverity.Major, Time(now), Oslo));
    }

    [Fact]
    public void A_digest_that_falls_into_quiet_hours_waits_for_their_end_and_critical_ones_never_wait()
    {
        var route = new RoleRoute("planner") { DigestBelow = AlarmSeverity.Major, DigestPeriod = TimeSpan.FromDays(1), Quiet = Night };
        var noon = Time("2026-11-25T11:00:00Z");
        var night = Time("2026-11-25T23:00:00Z");
        var morning = Time("2026-11-26T05:00:00Z");
        Assert.Equal((morning, true), route.DueAt(AlarmSeverity.Minor, noon, Oslo));
        Assert.Equal((noon, false), route.DueAt(AlarmSeverity.Major, noon, Oslo));
        Assert.Equal((morning, true), route.DueAt(AlarmSeverity.Major, night, Oslo));
        Assert.Equal((night, false), route.DueAt(AlarmSeverity.Critical, night, Oslo));
    }

    // Doubling from 5 s to a cap of 5 min: 5, 10, 20, 40, 80, 160, 300.
    [Fact]
    public void Waits_double_up_to_the_longest() =>
        Assert.Equal(
            [5, 10, 20, 40, 80, 160, 300, 300],
            new[] { 1, 2, 3, 4, 5, 6, 7, 1000 }.Select(n => NoticeBackoff.Wait(n, TimeSpan.FromSeconds(5), TimeSpan.FromMinutes(5)).TotalSeconds));

    private static DateTimeOffset Time(string text) => DateTimeOffset.Parse(text, System.Globalization.CultureInfo.InvariantCulture);
}
