using PoeWatch.Domain.Alarms;
using PoeWatch.Domain.Assessment;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.Poe;
using PoeWatch.Domain.Readings;
using PoeWatch.Domain.Tests.Assessment;
using PoeWatch.TestKit.Design;

namespace PoeWatch.Domain.Tests.Alarms;

/// <summary>Readings, assessment, rules and book together along a timeline.</summary>
public sealed class AlarmStoryTests
{
    [Fact]
    public void Forty_poles_behind_one_dead_uplink_are_one_alarm()
    {
        var story = new Story(Storm());
        story.Play(0, 300, 10, at => AllAnswer(at));
        Assert.Empty(story.Changes);
        story.Play(310, 1200, 10, at => AllSilent(at));
        var raised = Assert.Single(story.Changes);
        Assert.Equal(new AlarmKey("switch/root", AlarmTypes.SwitchSilent), raised.Key);
        story.Play(1210, 1500, 10, at => AllAnswer(at));
        Assert.Equal(["raised", "cleared"], story.Changes.Select(c => c.Kind));
    }

    [Fact]
    public void A_storm_is_one_alarm_also_where_the_far_switches_are_found_silent_first()
    {
        var story = new Story(Storm());
        story.Play(0, 60, 5, at => AllAnswer(at));
        story.Play(65, 120, 5, at => FarSilent(AllAnswer(at))); // the root has not been asked since
        story.Play(125, 900, 5, at => AllSilent(at));
        Assert.Equal("switch/root", Assert.Single(story.Changes).Key.Resource);
    }

    [Fact]
    public void Alarms_of_ports_stay_as_they_are_while_their_switch_is_silent()
    {
        var story = new Story(Storm());
        story.Play(0, 60, 10, at => AllAnswer(at).Answered("far-1", Harbour.Fresh, SnapshotBuilder.Off("far-1:1/1"), SnapshotBuilder.Delivering("far-1:1/2", 10)));
        Assert.Equal([AlarmTypes.PortDark], story.Changes.Select(c => c.Key.Type));
        story.Play(70, 1200, 10, at => AllSilent(at));
        Assert.False(story.Book.Find(new AlarmKey("port/far-1:1/1", AlarmTypes.PortDark))!.IsCleared);
        story.Play(1210, 1400, 10, at => AllAnswer(at));
        Assert.All(story.Book.Alarms, alarm => Assert.True(alarm.IsCleared));
        Assert.Equal(2, story.Changes.Count(c => c.Kind == AlarmChangeKinds.Raised));
    }

    [Fact]
    public void A_service_that_starts_with_a_silent_network_keeps_its_alarms_and_raises_none_twice()
    {
        var story = new Story(Storm());
        story.Play(0, 100, 10, at => AllSilent(at));
        Assert.Single(story.Changes);
        story.Restart();
        story.Play(110, 200, 10, at => new SnapshotBuilder(at)); // nothing polled yet
        story.Play(210, 600, 10, at => AllSilent(at));
        Assert.Single(story.Changes);
        Assert.Equal(1, story.Book.ActiveCount);
    }

    [Fact]
    public void A_port_that_the_new_design_no_longer_has_is_cleared()
    {
        var story = new Story(Storm());
        story.Play(0, 60, 10, at => AllAnswer(at).Answered("far-1", Harbour.Fresh, SnapshotBuilder.Off("far-1:1/1"), SnapshotBuilder.Delivering("far-1:1/2", 10)));
        Assert.Single(story.Changes);
        story.Design = Harbour.Design().Build();
        story.Play(70, 200, 10, at => Harbour.AsDesigned(at));
        Assert.Equal(["raised", "cleared"], story.Changes.Select(c => c.Kind));
    }

    [Fact]
    public void A_measured_alarm_is_not_cleared_by_the_loss_of_its_measurement()
    {
        var story = new Story(Harbour.Design().Build());
        var key = new AlarmKey("run/quay-west:1/1", AlarmTypes.HeadroomLow);
        story.Play(0, 60, 10, at => West(at, SnapshotBuilder.Delivering("quay-west:1/1", 26)));
        Assert.Equal(AlarmSeverity.Critical, story.Book.Find(key)!.Severity);
        story.Play(70, 600, 10, at => West(at, SnapshotBuilder.Delivering("quay-west:1/1", 30, Provenance.ClassBound)));
        Assert.False(story.Book.Find(key)!.IsCleared);
        story.Play(610, 800, 10, at => West(at, SnapshotBuilder.Delivering("quay-west:1/1", 10)));
        Assert.True(story.Book.Find(key)!.IsCleared);
    }

    private static DesignModel Storm()
    {
        var design = new DesignModelBuilder().DeviceType("camera", 10, PoeClass.Class3).Switch("root");
        for (var i = 1; i <= 20; i++)
        {
            design.Switch($"far-{i}", uplinkTo: i % 2 == 0 ? $"far-{i - 1}" : "root");
            for (var port = 1; port <= 2; port++)
            {
                design.Port($"far-{i}:1/{port}").Device($"cam-{i}-{port}", "camera", $"pole-{i}-{port}").Cable($"far-{i}:1/{port}", $"cam-{i}-{port}", 40);
            }
        }

        return design.Build();
    }

    private static SnapshotBuilder AllAnswer(DateTimeOffset at)
    {
        var snapshot = new SnapshotBuilder(at).Answered("root", Harbour.Fresh);
        for (var i = 1; i <= 20; i++)
        {
            snapshot.Answered($"far-{i}", Harbour.Fresh, SnapshotBuilder.Delivering($"far-{i}:1/1", 10), SnapshotBuilder.Delivering($"far-{i}:1/2", 10));
        }

        return snapshot;
    }

    private static SnapshotBuilder AllSilent(DateTimeOffset at) => FarSilent(AllAnswer(at)).NotAnswered("root");

    private static SnapshotBuilder FarSilent(SnapshotBuilder snapshot)
    {
        for (var i = 1; i <= 20; i++)
        {
            snapshot.NotAnswered($"far-{i}");
        }

        return snapshot;
    }

    private static SnapshotBuilder West(DateTimeOffset at, params PortReading[] instead) =>
        Harbour.AsDesigned(at).Answered("quay-west", Harbour.Fresh, Harbour.QuayWest(instead));

    private sealed class Story(DesignModel design)
    {
        private DesignAnalysis _analysis = DesignAnalysis.Of(design);

        public AlarmBook Book { get; private set; } = AlarmBook.Empty(new AlarmTimings());

        public List<AlarmChange> Changes { get; } = [];

        public DesignModel Design
        {
            get => _analysis.Design;
            set => _analysis = DesignAnalysis.Of(value);
        }

        public void Restart() => Book = AlarmBook.Restore([.. Book.Alarms], new AlarmTimings());

        public void Play(int fromSecond, int toSecond, int stepSeconds, Func<DateTimeOffset, SnapshotBuilder> snapshotAt)
        {
            for (var second = fromSecond; second <= toSecond; second += stepSeconds)
            {
                var now = Harbour.Noon.AddSeconds(second);
                var site = SiteAssessor.Assess(_analysis, snapshotAt(now).Build());
                var step = Book.Apply(AlarmMoment.Of(now), [.. AlarmRules.Evaluate(Design, site)], key => AlarmRules.IsKnown(key, Design, site));
                Book = step.Book;
                Changes.AddRange(step.Changes);
            }
        }
    }
}
