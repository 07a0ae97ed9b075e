using PoeWatch.Domain.Demands;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.Readings;
using static PoeWatch.Domain.Tests.Demands.Kinds;

namespace PoeWatch.Domain.Tests.Demands;

/// <summary>A port that is off by plan for all hours of a load case needs nothing in it.</summary>
public sealed class PlannedOffTests
{
    [Theory]
    [InlineData("23:00", "05:00", "00:00", "04:00", true)] // over midnight, inner after it
    [InlineData("23:00", "05:00", "23:30", "01:00", true)] // both over midnight
    [InlineData("23:00", "05:00", "23:00", "05:00", true)] // equal
    [InlineData("23:00", "05:00", "22:59", "04:00", false)]
    [InlineData("23:00", "05:00", "23:00", "05:01", false)]
    [InlineData("23:00", "05:00", "12:00", "13:00", false)]
    [InlineData("23:00", "05:00", "06:00", "06:00", false)] // a whole day
    [InlineData("00:00", "00:00", "06:00", "06:00", true)]
    [InlineData("01:00", "05:00", "04:00", "02:00", false)] // inner leaves it and comes back
    public void Covers_only_where_every_hour_lies_in_it(string from, string to, string caseFrom, string caseTo, bool covers) =>
        Assert.Equal(covers, PlannedOff.Covers(Window(from, to), Window(caseFrom, caseTo)));

    [Fact]
    public void Case_at_any_time_is_covered_by_a_whole_day_only()
    {
        Assert.False(PlannedOff.Covers(Window("00:00", "23:59"), null));
        Assert.True(PlannedOff.Covers(Window("07:00", "07:00"), null));
    }

    [Fact]
    public void Only_the_ports_of_the_schedule_are_off()
    {
        PortSchedule[] schedules = [new("night", [new PsePortRef("quay", 1, 1)], Window("23:00", "05:00"))];
        var loadCase = Case("small-hours") with { Window = Window("01:00", "04:00") };

        Assert.True(PlannedOff.Is(new PsePortRef("quay", 1, 1), loadCase, schedules));
        Assert.False(PlannedOff.Is(new PsePortRef("quay", 1, 2), loadCase, schedules));
    }

    private static DailyWindow Window(string from, string to) =>
        new(TimeOnly.ParseExact(from, "HH:mm", null), TimeOnly.ParseExact(to, "HH:mm", null));
}
