using System.Collections.Frozen;
using System.Collections.Immutable;
using PoeWatch.Domain.Alarms;
using PoeWatch.Domain.Alarms.Memory;
using PoeWatch.Domain.Assessment;
using PoeWatch.Domain.Conditions;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.EnergyBalance;
using PoeWatch.Domain.Readings;
using PoeWatch.Domain.Readings.Changes;
using PoeWatch.Domain.Tests.Assessment;
using PoeWatch.TestKit.Design;

namespace PoeWatch.Domain.Tests.Alarms;

/// <summary>A site along a timeline with all that the service does of it: assessing, remembering, rules, book.</summary>
internal sealed class MemoryStory(DesignModel design)
{
    public static readonly PsePortRef West1 = new("quay-west", 1, 1);

    private readonly DesignAnalysis _analysis = DesignAnalysis.Of(design);

    public SiteMemory Memory { get; } = new();

    public AlarmBook Book { get; private set; } = AlarmBook.Empty(new AlarmTimings());

    public List<AlarmChange> Changes { get; } = [];

    public IReadOnlyList<AlarmCondition> Conditions { get; private set; } = [];

    /// <summary>What is known of segments that are metered at both ends.</summary>
    public ImmutableArray<SegmentBalance> Segments { get; set; } = [];

    public SiteAssessment Site { get; private set; } = null!;

    /// <summary>"type kind" of all that happened.</summary>
    public List<string> Told => [.. Changes.Select(c => $"{c.Key.Type} {c.Kind}")];

    /// <summary>One step at seconds from noon.</summary>
    /// <param name="west">What the reading of quay-west carries besides.</param>
    public IReadOnlyList<AlarmCondition> Step(
        double second, Func<DateTimeOffset, SnapshotBuilder>? snapshot = null, Func<SwitchReading, SwitchReading>? west = null, params ThermometerReading[] thermometers)
    {
        var at = Harbour.Noon.AddSeconds(second);
        var now = new AlarmMoment(at, TimeSpan.FromSeconds(second + 1e6));
        var built = (snapshot ?? Harbour.AsDesigned)(at).Build();
        if (west is not null)
        {
            built = built with
            {
                Latest = built.Latest.ToFrozenDictionary(r => r.Key, r => r.Key == "quay-west" ? west(r.Value) : r.Value),
                LatestAnswer = built.LatestAnswer.ToFrozenDictionary(r => r.Key, r => r.Key == "quay-west" ? west(r.Value) : r.Value),
            };
        }

        Site = SiteAssessor.Assess(_analysis, built, ConditionReckoner.Reckon(design, at, [], thermometers)) with { Segments = Segments };
        Memory.Note(design, built, Site, now);
        Conditions = AlarmRules.Evaluate(design, Site, null, Memory);
        var step = Book.Apply(now, Conditions, key => AlarmRules.IsKnown(key, design, Site, Memory));
        Book = step.Book;
        Changes.AddRange(step.Changes);
        return Conditions;
    }

    /// <summary>Steps every so often from one second to another.</summary>
    public void Play(int fromSecond, int toSecond, int every, Func<DateTimeOffset, SnapshotBuilder>? snapshot = null, Func<SwitchReading, SwitchReading>? west = null)
    {
        for (var second = fromSecond; second <= toSecond; second += every)
        {
            Step(second, snapshot, west);
        }
    }

    /// <summary>Lets port 1 of quay-west remember whole days before the day of noon, a quarter-hour mean for each of their quarters.</summary>
    public void Recall(int days, Func<int, int, double> watts)
    {
        var memory = new PortMemory();
        var first = new DateTimeOffset(Harbour.Noon.Date, TimeSpan.Zero).AddDays(-days);
        for (var quarter = 0; quarter < days * 96; quarter++)
        {
            memory.Recall(first.AddMinutes(15 * quarter), watts(quarter / 96, quarter % 96), 900);
        }

        memory.Recall(first.AddDays(days), watts(days, 0), 900);
        Memory.Adopt(new Dictionary<PsePortRef, PortMemory> { [West1] = memory });
    }

    public static Func<DateTimeOffset, SnapshotBuilder> West(params PortReading[] instead) =>
        at => Harbour.AsDesigned(at).Answered("quay-west", Harbour.Fresh, Harbour.QuayWest(instead));

    public static Func<SwitchReading, SwitchReading> Counts(uint overload = 0, uint shorts = 0, uint denied = 0, uint absent = 0) => reading =>
        reading with { PortEvents = [new PortEvents(West1, TimeSpan.FromMinutes(5), absent, 0, denied, overload, shorts)] };

    public static Func<SwitchReading, SwitchReading> Changed(AgentChangeKind kind) => reading => reading with { Changes = [new AgentChange(kind, "changed")] };

    public static Func<SwitchReading, SwitchReading> Group(GroupReading group) => reading => reading with { Groups = ImmutableArray.Create(group) };
}
