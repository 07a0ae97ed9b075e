using System.Collections.Immutable;
using System.Reflection;
using PoeWatch.Domain.Alarms;

namespace PoeWatch.Domain.Tests.Alarms;

/// <summary>Every type is in the table with what people need, and timings by type.</summary>
public sealed class AlarmTypeTableTests
{
    [Fact]
    public void The_table_has_each_alarm_type_once_and_no_other() => Assert.Equal(
        typeof(AlarmTypes).GetFields(BindingFlags.Public | BindingFlags.Static).Select(f => (string)f.GetRawConstantValue()!).Order(StringComparer.Ordinal),
        AlarmTypeTable.All.Select(row => row.Name));

    [Fact]
    public void Each_type_says_what_it_means_and_what_may_have_caused_it_in_sentences() => Assert.All(AlarmTypeTable.All, row =>
    {
        Assert.NotEmpty(row.Causes);
        Assert.All(row.Causes.Append(row.Meaning), sentence =>
        {
            Assert.True(char.IsUpper(sentence[0]) || char.IsDigit(sentence[0]), sentence);
            Assert.EndsWith(".", sentence, StringComparison.Ordinal);
            Assert.InRange(sentence.Length, 10, 160);
        });
    });

    [Fact]
    public void What_is_set_for_a_type_stands_above_its_table_and_that_above_the_general_timings()
    {
        var timings = new AlarmTimings
        {
            ByType = ImmutableSortedDictionary<string, TypeTimings>.Empty
                .Add(AlarmTypes.PortDark, new TypeTimings(TimeSpan.FromMinutes(5), null, null, 3))
                .Add(AlarmTypes.PortFault, new TypeTimings(TimeSpan.FromSeconds(5), null, null, null)),
        };
        Assert.Equal((300, 60, 3), Figures(AlarmTypes.PortDark));
        Assert.Equal((5, 60, 1), Figures(AlarmTypes.PortFault));
        Assert.Equal((30, 60, 1), Figures(AlarmTypes.HeadroomLow));
        Assert.Equal(10, new AlarmTimings().For(AlarmTypes.PortFault).OnDelay.TotalSeconds);

        (double, double, double) Figures(string type) =>
            (timings.For(type).OnDelay.TotalSeconds, timings.For(type).OffDelay.TotalSeconds, timings.For(type).DeadbandWatts);
    }

    [Fact]
    public void The_book_goes_by_the_timings_of_the_type()
    {
        var timeline = new BookTimeline(new AlarmTimings
        {
            ByType = ImmutableSortedDictionary<string, TypeTimings>.Empty.Add(
                BookTimeline.Key.Type, new TypeTimings(TimeSpan.FromSeconds(90), TimeSpan.FromSeconds(10), null, null)),
        });
        timeline.Holds(0);
        timeline.Holds(89);
        Assert.Empty(timeline.Changes);
        timeline.Holds(90);
        timeline.Gone(100);
        timeline.Gone(110);
        Assert.Equal(["raised", "cleared"], timeline.Kinds);
    }
}
