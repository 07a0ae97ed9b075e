using System.Collections.Immutable;
using System.Text.RegularExpressions;
using PoeWatch.Domain.Alarms;
using PoeWatch.Domain.Conditions;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.Poe;
using PoeWatch.Domain.Quantities;
using PoeWatch.Domain.Readings;
using PoeWatch.Domain.Tests.Assessment;
using PoeWatch.TestKit.Design;

namespace PoeWatch.Domain.Tests.Alarms;

/// <summary>What a technician reads at night: one example of every type, and what each text has to hold.</summary>
public sealed partial class AlarmTextTests
{
    /// <summary>Nothing at a pole, a cabinet or a port is to be touched for these.</summary>
    private static readonly string[] s_deskWork =
        [AlarmTypes.PollRefused, AlarmTypes.PollOverrun, AlarmTypes.ClockOff, AlarmTypes.UnitConflict, AlarmTypes.DesignUpgradeDue, AlarmTypes.PriorityDiffers];

    /// <summary>In the words that the polling has for them.</summary>
    private static readonly ImmutableArray<ReadingFinding> s_findings =
    [
        new(
            FindingKind.UnitConflict, 1, null,
            "Units of group 1 conflict: the ports add up to 38.0 W, the group says 3800 W, 100 times as much. So the group's figure is in another unit than watts and is not published; the ports' are. "
            + "Compare both with a watt meter or the device's own display, then correct the unit in the design's draw-column or in a draw sheet."),
        new(FindingKind.WrongDevice, 0, MemoryStory.West1, "Behind quay-west:1/1 (1/1) stands 'cam-9'; the design has 'cam-1' there. See which device it is, then correct its name, the cable or the design."),
        new(FindingKind.MovedDevice, 0, MemoryStory.West1, "'cam-2' stands behind quay-west:1/1 (1/1); the design has it behind pts-2:1/1. Move the cable back, or move the device in the design."),
        new(FindingKind.WrongVlan, 0, MemoryStory.West1, "quay-west:1/1 (1/1) is in VLAN 30; the design has VLAN 20. Correct the port's VLAN in the switch, or the design."),
    ];

    private static readonly Dictionary<string, AlarmCondition> s_examples = Examples();

    public static TheoryData<string> Types() => [.. AlarmTypeTable.All.Select(t => t.Name)];

    [Fact]
    public void There_is_an_example_of_every_type() => Assert.Equal(AlarmTypeTable.All.Select(t => t.Name), s_examples.Keys.Order(StringComparer.Ordinal));

    [Theory]
    [MemberData(nameof(Types))]
    public void A_text_names_its_place_and_is_a_sentence_of_readable_length(string type)
    {
        var (resource, text) = (s_examples[type].Key.Resource, s_examples[type].Text);
        var place = resource == AlarmResources.Site ? "this machine" : resource[(resource.IndexOf('/', StringComparison.Ordinal) + 1)..];
        place = resource.StartsWith("group/", StringComparison.Ordinal) ? place.Replace(":", " group ", StringComparison.Ordinal) : place.Split(":t-")[0];
        Assert.Contains(place, text, StringComparison.Ordinal);
        Assert.Matches("^[A-Z].*[.)]$", text);
        Assert.DoesNotMatch(@"NaN|Infinity|∞|null|  |\.\.|\{|\}", text);
        Assert.InRange(text.Length, 40, 700);
        if (resource.StartsWith("run/", StringComparison.Ordinal))
        {
            Assert.Contains("pole", text, StringComparison.Ordinal);
        }
    }

    [Theory]
    [MemberData(nameof(Types))]
    public void Numbers_come_with_their_unit_and_how_they_are_known(string type)
    {
        var text = s_examples[type].Text;
        if (Number().IsMatch(text))
        {
            Assert.Matches(@"\((measured|derived|reported|at least|design|RFC 3621|Theil|limit of|the lower of|common|seen|5 %|IEEE)|designed|design (asks|needs|expects|has|counts)|by design|last answer|fibre|measured by|the group says|in the last hour", text);
        }
    }

    [Theory]
    [MemberData(nameof(Types))]
    public void Steps_are_numbered_and_carry_the_caution_where_somebody_goes_there(string type)
    {
        var steps = s_examples[type].NextSteps;
        var numbers = Step().Matches(steps).Select(m => int.Parse(m.Groups[1].Value, null)).ToList();
        Assert.Equal(Enumerable.Range(1, Math.Max(2, numbers.Count)), numbers);
        Assert.EndsWith(".", steps, StringComparison.Ordinal);
        Assert.InRange(steps.Length, 60, 1100);
        if (!s_deskWork.Contains(type))
        {
            Assert.Matches("licensed", steps);
        }
    }

    private static Dictionary<string, AlarmCondition> Examples()
    {
        var found = new Dictionary<string, AlarmCondition>(StringComparer.Ordinal);
        foreach (var condition in Scenes().SelectMany(conditions => conditions))
        {
            found.TryAdd(condition.Key.Type, condition);
        }

        return found;
    }

    private static IEnumerable<IReadOnlyList<AlarmCondition>> Scenes()
    {
        yield return New().Step(0, MemoryStory.West(SnapshotBuilder.Delivering("quay-west:1/1", 24)));
        yield return New(Harbour.Design().Policy(DesignModelBuilder.Floors(70, 20))).Step(0);
        yield return New().Step(0, at => Harbour.AsDesigned(at).Answered(
            "quay-west", Harbour.Fresh, [new GroupReading(1, Power.FromWatts(370), Power.FromWatts(186), Provenance.Measured, true)], Harbour.QuayWest()));
        yield return New().Step(0, MemoryStory.West(SnapshotBuilder.Delivering("quay-west:1/1", 13)));
        yield return New().Step(0, MemoryStory.West(SnapshotBuilder.Delivering("quay-west:1/1", 10, assigned: PoeClass.Class3)));
        yield return New().Step(0, MemoryStory.West(SnapshotBuilder.Off("quay-west:1/1")));
        yield return New().Step(0, MemoryStory.West(SnapshotBuilder.Off("quay-west:1/1", PortState.Fault)));
        yield return New().Step(0, MemoryStory.West(SnapshotBuilder.Delivering("quay-west:1/9", 5)));
        yield return New(Harbour.Design().Port("quay-west:1/1", upgrade: new PlannedUpgrade(Power.FromWatts(90), new DateOnly(2026, 9, 30)))).Step(0);
        yield return New().Step(0, at => Harbour.AsDesigned(at).NotAnswered("quay-east", PollOutcome.Refused, detail: "Unknown user 'watch'."));
        yield return New().Step(0, at => Harbour.AsDesigned(at).NotAnswered("quay-west").NotAnswered("quay-east").NotAnswered("pts-2"));
        yield return New().Step(0, west: MemoryStory.Counts(overload: 3, denied: 3));
        yield return New().Step(0, west: MemoryStory.Group(new GroupReading(1, Power.FromWatts(100), Power.FromWatts(38), Provenance.Measured, true)));
        yield return New().Step(0, west: reading => reading with { Took = TimeSpan.FromMinutes(5) });
        yield return New(Harbour.Design().Schedule("noon-off", new DailyWindow(new TimeOnly(11, 0), new TimeOnly(13, 0)), "quay-west:1/1")).Step(0);
        yield return Flapping();
        yield return Stepped();
        yield return Creeping(0.05);
        yield return Creeping(0.3);
        yield return ClockStepped();
        yield return Grown();
        yield return PriorityRuleTests.LeftAtDefault();
        yield return SupplyRuleTests.NearTheEnd();
        yield return UpsRuleTests.LowBattery();
        yield return New().Step(0, west: reading => reading with { Findings = s_findings });
        var plan = ConditionPlan.Nothing with { Thermometers = [new Thermometer("t-1", "quay-west", 7, null, "quay-west-cabinet")] };
        yield return New(Harbour.Design().Conditions(plan))
            .Step(0, null, null, new ThermometerReading("t-1", Temperature.FromCelsius(66), Harbour.Noon, Harbour.Noon.AddMinutes(6), ""));
    }

    private static MemoryStory New(DesignModelBuilder? design = null) => new((design ?? Harbour.Design()).Build());

    private static ImmutableArray<AlarmCondition> Flapping()
    {
        var story = New();
        for (var i = 0; i <= 8; i++)
        {
            story.Step(i * 20, i % 2 == 0 ? null : MemoryStory.West(SnapshotBuilder.Off("quay-west:1/1")));
        }

        return [.. story.Conditions];
    }

    private static ImmutableArray<AlarmCondition> Stepped()
    {
        var story = New();
        story.Recall(5, (_, _) => 5);
        story.Play(0, 4000, 30, MemoryStory.West(SnapshotBuilder.Delivering("quay-west:1/1", 9)));
        return [.. story.Conditions];
    }

    private static ImmutableArray<AlarmCondition> Creeping(double wattsPerDay)
    {
        var story = New();
        story.Recall(28, (day, _) => 1 + (wattsPerDay * day));
        return [.. story.Step(0, MemoryStory.West(SnapshotBuilder.Delivering("quay-west:1/1", 9.4)))];
    }

    private static ImmutableArray<AlarmCondition> Grown()
    {
        var story = New();
        story.Segments = [CableResistanceRuleTests.Balance(4.0, shift: 1.9)];
        return [.. story.Step(0)];
    }

    private static ImmutableArray<AlarmCondition> ClockStepped()
    {
        var story = New();
        story.Step(0);
        story.Memory.NoteClockStep(TimeSpan.FromSeconds(-90), new AlarmMoment(Harbour.Noon, TimeSpan.FromSeconds(1e6)));
        return [.. story.Step(10)];
    }

    [GeneratedRegex(@"\d+(\.\d+)? (W|°C|s)\b")]
    private static partial Regex Number();

    [GeneratedRegex(@"(?:^| )(\d)\. ")]
    private static partial Regex Step();
}
