using PoeWatch.Domain.Alarms;
using PoeWatch.Domain.Alarms.Figures;

namespace PoeWatch.Domain.Tests.Alarms;

/// <summary>What stood at a moment that is over: against a book that lived through it, and on changes worked by hand. Standing: 24 h (ISA-18.2).</summary>
public sealed class PastAlarmsTests
{
    private static readonly DateTimeOffset s_at = BookTimeline.Start.AddDays(10);
    private static readonly AlarmKey s_key = BookTimeline.Key;

    // Hours from the moment: negative before it.
    public static TheoryData<string, bool> Lives() => new()
    {
        { "-30 raised", true },
        { "-24 raised", false }, // not more than 24 h
        { "-23 raised", false },
        { "-30 raised, -2 cleared", false },
        { "-30 raised, -2 cleared, -1 raised", false },
        { "-30 raised, -3 severity-changed", true },
        { "-30 raised, 5 cleared", true },
        { "-30 raised, -2 shelved", false },
        { "-30 raised, -4 shelved, -2 un-shelved", true },
        { "-30 raised, -2 accepted", false },
        { "-30 raised, 3 shelved", true },
        { "-30 suppressed", false },
        { "-30 suppressed, -2 raised", false }, // the window ended two hours before
        { "5 cleared", true }, // raised before anything was read
        { "5 severity-changed", true },
        { "5 raised", false },
        { "2 un-shelved, 5 cleared", false },
        { "2 shelved, 5 cleared", true },
        { "2 suppressed, 5 cleared", true },
        { "1 note, 5 cleared", true },
    };

    [Theory]
    [MemberData(nameof(Lives))]
    public void Changes_before_and_after_tell_whether_it_stood(string life, bool isStanding) =>
        Assert.Equal(isStanding ? [s_key] : [], PastAlarms.StandingAt(s_at, Changes(life), []));

    [Theory]
    [InlineData(-30, false, true)]
    [InlineData(-20, false, false)]
    [InlineData(-30, true, false)]
    public void What_did_not_change_at_all_is_as_it_is_now(int raisedHour, bool isShelved, bool isStanding)
    {
        var alarm = new Alarm(s_key, AlarmSeverity.Minor, false, s_at.AddHours(raisedHour), s_at.AddHours(raisedHour), "", "", isShelved ? OperatorState.Shelved : OperatorState.None, "", "");
        Assert.Equal(isStanding ? [s_key] : [], PastAlarms.StandingAt(s_at, [], [alarm]));
    }

    [Fact]
    public void It_is_what_the_list_of_that_moment_said()
    {
        var chance = new Random(5);
        var timeline = new BookTimeline();
        var lists = new List<(DateTimeOffset At, AlarmKey[] Standing)>();
        for (var hour = 0; hour < 24 * 40; hour++)
        {
            if (chance.NextDouble() < 0.03)
            {
                timeline.Holds(hour * 3600);
                timeline.Holds((hour * 3600) + 60);
            }
            else if (chance.NextDouble() < 0.03)
            {
                timeline.Gone((hour * 3600) + 60);
                timeline.Gone((hour * 3600) + 600);
            }

            var at = BookTimeline.Start.AddHours(hour + 0.5);
            lists.Add((at, [.. timeline.Book.Alarms.Where(a => a.IsStanding(at)).Select(a => a.Key)]));
        }

        Assert.Contains(lists, l => l.Standing.Length > 0);
        Assert.All(lists, l => Assert.Equal(l.Standing, PastAlarms.StandingAt(l.At, timeline.Changes.Where(c => c.At >= l.At - PastAlarms.Before), timeline.Book.Alarms)));
    }

    private static IEnumerable<AlarmChange> Changes(string life)
    {
        var quiet = "";
        foreach (var words in life.Split(", ").Select(word => word.Split(' ')))
        {
            quiet = words[1] switch { "shelved" => "shelved", "accepted" => "accepted", "suppressed" => "maintenance mw-1", "un-shelved" or "raised" => "", _ => quiet };
            yield return new AlarmChange(s_key, s_at.AddHours(int.Parse(words[0], System.Globalization.CultureInfo.InvariantCulture)), words[1], AlarmSeverity.Minor, "", "") { QuietBecause = quiet };
        }
    }
}
