using CsCheck;
using PoeWatch.Domain.Alarms;

namespace PoeWatch.Domain.Tests.Alarms;

/// <summary>What must hold of every timeline. CsCheck prints the seed of a failing one.</summary>
public sealed class AlarmBookPropertyTests
{
    private static readonly AlarmKey[] Keys =
        [new("port/a:1/1", "port-dark"), new("run/a:1/1", "headroom-low"), new("switch/a", "switch-silent")];

    /// <summary>One moment: seconds since the last, and for each key a value (floors 5 and 2) and whether it is known.</summary>
    private static readonly Gen<(int Seconds, (double Value, bool IsKnown)[] ByKey)> Moments = Gen.Select(
        Gen.Int[0, 50],
        Gen.Select(Gen.Double[0, 9], Gen.Frequency((4, Gen.Const(true)), (1, Gen.Const(false)))).Array[3]);

    private static readonly Gen<(int Seconds, (double Value, bool IsKnown)[] ByKey)[]> Timelines = Moments.Array[1, 60];

    [Fact]
    public void Raises_and_clears_of_a_key_alternate_and_severity_changes_fall_between()
    {
        Timelines.Sample(timeline =>
        {
            var (_, changes) = Play(timeline, restartBefore: -1);
            foreach (var key in Keys)
            {
                var active = false;
                foreach (var change in changes.Where(c => c.Key == key))
                {
                    var wasActive = change.Kind != AlarmChangeKinds.Raised;
                    Assert.Equal(wasActive, active);
                    active = change.Kind != AlarmChangeKinds.Cleared;
                }
            }
        });
    }

    [Fact]
    public void The_changes_tell_the_same_story_as_the_alarms()
    {
        Timelines.Sample(timeline =>
        {
            var (book, changes) = Play(timeline, restartBefore: -1);
            var told = changes.GroupBy(c => c.Key).ToDictionary(g => g.Key, g => g.Last());
            Assert.Equal(told.Count, book.Alarms.Count());
            Assert.All(book.Alarms, alarm =>
            {
                Assert.Equal(told[alarm.Key].Severity, alarm.Severity);
                Assert.Equal(told[alarm.Key].Kind == AlarmChangeKinds.Cleared, alarm.IsCleared);
            });
        });
    }

    [Fact]
    public void A_restart_at_any_point_comes_to_the_same_open_alarms_once_the_delays_have_run()
    {
        Gen.Select(Timelines, Gen.Int[0, 59]).Sample((timeline, at) =>
        {
            var last = timeline[^1];
            var calm = (60, last.ByKey.Select(k => (k.Value, true)).ToArray());
            (int, (double, bool)[])[] toTheEnd = [.. timeline, calm, calm, calm];
            // In the deadband the past decides: there a restart in mid-delay may rightly come out otherwise, so such an end says nothing.
            var (without, _) = Play(toTheEnd, restartBefore: -1);
            var (with, changes) = Play(toTheEnd, restartBefore: Math.Min(at, timeline.Length));
            foreach (var (key, i) in Keys.Select((k, i) => (k, i)).Where(k => !IsInDeadband(last.ByKey[k.i].Value)))
            {
                Assert.Equal(Open(without, key), Open(with, key));
                Assert.True(changes.Where(c => c.Key == key && c.Kind == AlarmChangeKinds.Raised).Count()
                    - changes.Count(c => c.Key == key && c.Kind == AlarmChangeKinds.Cleared) is 0 or 1);
            }
        });
    }

    private static AlarmSeverity? Open(AlarmBook book, AlarmKey key) => book.Find(key) is { IsCleared: false } alarm ? alarm.Severity : null;

    private static bool IsInDeadband(double value) => value is (>= 2 and < 3) or (>= 5 and < 6);

    private static (AlarmBook Book, List<AlarmChange> Changes) Play((int Seconds, (double Value, bool IsKnown)[] ByKey)[] timeline, int restartBefore)
    {
        var book = AlarmBook.Empty(new AlarmTimings());
        var changes = new List<AlarmChange>();
        var now = BookTimeline.Start;
        for (var i = 0; i < timeline.Length; i++)
        {
            if (i == restartBefore)
            {
                book = AlarmBook.Restore([.. book.Alarms], new AlarmTimings());
            }

            now = now.AddSeconds(timeline[i].Seconds);
            var byKey = timeline[i].ByKey;
            var conditions = Keys.Select((key, k) => BookTimeline.TwoLevels(byKey[k].Value) with { Key = key }).ToList();
            var step = book.Apply(AlarmMoment.Of(now), conditions, key => byKey[Array.IndexOf(Keys, key)].IsKnown);
            book = step.Book;
            changes.AddRange(step.Changes);
        }

        return (book, changes);
    }
}
