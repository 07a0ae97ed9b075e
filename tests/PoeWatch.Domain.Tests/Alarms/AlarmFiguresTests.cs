using PoeWatch.Domain.Alarms;
using PoeWatch.Domain.Alarms.Figures;

namespace PoeWatch.Domain.Tests.Alarms;

/// <summary>
/// The service's own measures on timelines worked by hand. Floods (more than 10, fewer than 5 in ten minutes), chattering (3 times in a minute) and standing
/// (24 h): ISA-18.2 as automation vendors' guides quote it; the standard's own text was not read.
/// </summary>
public sealed class AlarmFiguresTests
{
    private static readonly DateTimeOffset Start = BookTimeline.Start;

    [Fact]
    public void Eleven_alarms_in_ten_minutes_then_six_then_four_are_one_flood_of_twenty_minutes()
    {
        var figures = Of([.. Burst(0, 11), .. Burst(10, 6), .. Burst(20, 4)], hours: 10);
        Assert.Equal([new AlarmFlood(Start, Start.AddMinutes(20), 17, 11)], figures.Floods);
        Assert.Equal(20.0 / 600, figures.FloodShare, 12);
        Assert.Equal(21, figures.Raised);
    }

    [Fact]
    public void Ten_alarms_in_ten_minutes_are_no_flood() => Assert.Empty(Of(Burst(0, 10), hours: 1).Floods);

    [Fact]
    public void A_flood_ends_with_the_first_ten_minutes_without_an_alarm_and_a_second_one_is_another()
    {
        var figures = Of([.. Burst(0, 12), .. Burst(30, 11), .. Burst(40, 5)], hours: 1);
        Assert.Equal(
            [new AlarmFlood(Start, Start.AddMinutes(10), 12, 12), new AlarmFlood(Start.AddMinutes(30), Start.AddMinutes(50), 16, 11)], figures.Floods);
    }

    [Fact]
    public void The_peak_is_the_most_in_any_ten_minutes_wherever_they_begin()
    {
        // At 8, 9, 11, 12 and 18 minutes: no cut of ten minutes holds more than three; the ten minutes from the eighth hold four.
        var figures = Of([.. new[] { 8, 9, 11, 12, 18 }.Select(m => Raise($"port/{m}", m * 60))], hours: 1);
        Assert.Equal(4, figures.PeakIn10Minutes);
    }

    [Fact]
    public void Alarms_are_shared_by_operators_and_days()
    {
        var figures = AlarmFigures.Of([.. Burst(0, 30)], [], Start, Start.AddDays(5), operators: 2);
        Assert.Equal(3, figures.PerOperatorAndDay, 12);
    }

    [Theory]
    [InlineData(0, 30, 59, true)]
    [InlineData(0, 30, 60, false)]
    public void Three_times_within_a_minute_is_chattering(int first, int second, int third, bool isChattering)
    {
        var figures = Of([Raise("port/a", first), Raise("port/a", second), Raise("port/a", third), Raise("port/b", 0), Raise("port/b", 1)], hours: 1);
        Assert.Equal(isChattering ? ["port/a"] : [], figures.Chattering.Select(k => k.Resource));
    }

    [Fact]
    public void What_came_once_and_went_within_90_s_is_fleeting()
    {
        var figures = Of(
            [
                Raise("port/once", 0), Clear("port/once", 90), Raise("port/longer", 0), Clear("port/longer", 91), Raise("port/stays", 0),
                Raise("port/twice", 0), Clear("port/twice", 80), Raise("port/twice", 600), Clear("port/twice", 680),
            ],
            hours: 1);
        Assert.Equal(["port/once"], figures.Fleeting.Select(k => k.Resource));
    }

    [Fact]
    public void What_is_active_for_24_hours_and_a_minute_stands_unless_it_is_shelved()
    {
        var end = Start.AddHours(30);
        Alarm[] alarms = [Alarm("a", end.AddHours(-24).AddMinutes(-1)), Alarm("b", end.AddHours(-24)), Alarm("c", Start) with { OperatorState = OperatorState.Shelved }];
        Assert.Equal(["a"], AlarmFigures.Of([], alarms, Start, end, 1).Standing.Select(k => k.Resource));
    }

    [Fact]
    public void The_ten_most_frequent_are_told_with_their_share()
    {
        // 12 resources; the n-th comes n times: 78 in all, the ten most 12 + 11 + … + 3 = 75.
        var changes = Enumerable.Range(1, 12).SelectMany(n => Enumerable.Range(0, n).Select(i => Raise($"port/{n:00}", (n * 3600) + (i * 120)))).OrderBy(c => c.At).ToList();
        var figures = AlarmFigures.Of(changes, [], Start, Start.AddDays(1), 1);
        Assert.Equal(10, figures.Top.Length);
        Assert.Equal(("port/12", 12, 12.0 / 78), (figures.Top[0].Key.Resource, figures.Top[0].Raised, figures.Top[0].Share));
        Assert.Equal(75.0 / 78, figures.TopShare, 12);
    }

    [Fact]
    public void Quiet_alarms_and_those_outside_the_period_do_not_count()
    {
        var figures = Of(
            [
                Raise("port/a", -1), Raise("port/b", 3600), Raise("port/c", 0) with { QuietBecause = "shelved" },
                new AlarmChange(new("port/d", "x"), Start, AlarmChangeKinds.Suppressed, AlarmSeverity.Major, "", "") { QuietBecause = "maintenance mw-1" }, Raise("port/e", 5),
            ],
            hours: 1);
        Assert.Equal((1, 1), (figures.Raised, figures.PeakIn10Minutes));
        Assert.Equal(1, figures.BySeverity[AlarmSeverity.Minor]);
    }

    [Fact]
    public void A_period_without_alarms_is_all_zero()
    {
        var figures = Of([], hours: 24);
        Assert.Equal((0, 0.0, 0, 0.0, 0.0), (figures.Raised, figures.PerOperatorAndDay, figures.PeakIn10Minutes, figures.FloodShare, figures.TopShare));
    }

    private static AlarmFigures Of(IReadOnlyCollection<AlarmChange> changes, int hours) => AlarmFigures.Of(changes, [], Start, Start.AddHours(hours), 1);

    private static List<AlarmChange> Burst(int minute, int count) => [.. Enumerable.Range(0, count).Select(i => Raise($"port/{minute}-{i}", (minute * 60) + i))];

    private static AlarmChange Raise(string resource, int second) => Change(resource, second, AlarmChangeKinds.Raised);

    private static AlarmChange Clear(string resource, int second) => Change(resource, second, AlarmChangeKinds.Cleared);

    private static AlarmChange Change(string resource, int second, string kind) =>
        new(new AlarmKey(resource, "headroom-low"), Start.AddSeconds(second), kind, AlarmSeverity.Minor, "", "");

    private static Alarm Alarm(string resource, DateTimeOffset raisedAt) =>
        new(new AlarmKey(resource, "headroom-low"), AlarmSeverity.Minor, false, raisedAt, raisedAt, "", "", OperatorState.None, "", "");
}
