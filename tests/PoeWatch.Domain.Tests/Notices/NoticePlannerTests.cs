using System.Collections.Immutable;
using PoeWatch.Domain.Alarms;
using PoeWatch.Domain.Notices;
using PoeWatch.TestKit.Design;

namespace PoeWatch.Domain.Tests.Notices;

/// <summary>Which changes a lane is told, case by case.</summary>
public sealed class NoticePlannerTests
{
    private static readonly DateTimeOffset Start = new(2026, 11, 25, 10, 0, 0, TimeSpan.Zero);
    private static readonly AlarmKey Key = new("port/quay-west:1/3", AlarmTypes.PortDark);
    private static readonly NoticePlaces Places = new(new DesignModelBuilder()
        .Switch("quay-west").DeviceType("camera", 12).Pole("quay-03", "Quay 3").Pole("quay-04", "Quay 4")
        .Port("quay-west:1/3", 30).Device("cam-3", "camera", "quay-03").Cable("quay-west:1/3", "cam-3")
        .Port("quay-west:1/4", 30).Device("cam-4", "camera", "quay-04").Cable("quay-west:1/4", "cam-4").Build());

    [Fact]
    public void A_life_is_told_from_raise_to_clear()
    {
        var plan = Plan(Raised(AlarmSeverity.Minor), Changed(AlarmSeverity.Critical), Operator(OperatorState.Ack), Cleared(AlarmSeverity.Critical));
        Assert.Equal(["raised", "severity-changed", "cleared"], plan.Notices.Select(n => n.Content.Kind));
        Assert.All(plan.Notices, n => Assert.Equal(Start, n.Content.Since));
        Assert.Equal(["Look.", "Look.", ""], plan.Notices.Select(n => n.Content.NextSteps));
        Assert.Empty(plan.Told);
        Assert.Equal(3, plan.Notices.Select(n => n.PostKey).Distinct().Count());
    }

    [Fact]
    public void Operator_states_are_told_to_who_asked_and_was_told_of_the_alarm()
    {
        var route = new RoleRoute("operator") { TellsOperatorStates = true };
        Assert.Equal(["raised", "ack"], Kinds(route, Raised(AlarmSeverity.Minor), Operator(OperatorState.Ack)));
        Assert.Empty(Kinds(route with { LeastSeverity = AlarmSeverity.Major }, Raised(AlarmSeverity.Minor), Operator(OperatorState.Ack)));
    }

    [Fact]
    public void An_alarm_is_told_once_it_is_severe_enough_and_then_to_its_end()
    {
        var route = new RoleRoute("operator") { LeastSeverity = AlarmSeverity.Major };
        Assert.Equal(
            ["raised", "severity-changed", "cleared"],
            Kinds(route, Raised(AlarmSeverity.Minor), Changed(AlarmSeverity.Major), Changed(AlarmSeverity.Warning), Cleared(AlarmSeverity.Warning)));
        Assert.Empty(Kinds(route, Raised(AlarmSeverity.Minor), Cleared(AlarmSeverity.Minor)));
    }

    [Fact]
    public void What_was_told_from_the_state_is_not_told_again_by_its_change()
    {
        var alarm = Alarm(AlarmSeverity.Major);
        var first = NoticePlanner.OfState(Frame(new RoleRoute("operator")), Nothing, Book(alarm));
        Assert.Equal(["raised"], first.Notices.Select(n => n.Content.Kind));
        var then = NoticePlanner.OfChanges(Frame(new RoleRoute("operator")), first.Told, Numbered(Raised(AlarmSeverity.Major)), Book(alarm));
        Assert.Empty(then.Notices);
        Assert.Empty(NoticePlanner.OfState(Frame(new RoleRoute("operator")), then.Told, Book(alarm)).Notices);

        // A new life of the same alarm is told.
        var again = Raised(AlarmSeverity.Major) with { At = Start.AddHours(1) };
        Assert.Single(NoticePlanner.OfChanges(Frame(new RoleRoute("operator")), then.Told, Numbered(again), Book(alarm with { RaisedAt = again.At })).Notices);
    }

    [Fact]
    public void The_state_tells_the_end_of_what_was_told_and_nothing_from_before_the_lane()
    {
        var told = Nothing.Add(Key, new ToldAlarm(Key, AlarmSeverity.Major, Start));
        foreach (var book in new[] { Book(Alarm(AlarmSeverity.Major) with { IsCleared = true }), Book() })
        {
            var plan = NoticePlanner.OfState(Frame(new RoleRoute("operator")), told, book);
            Assert.Equal(["cleared"], plan.Notices.Select(n => n.Content.Kind));
            Assert.Empty(plan.Told);
        }

        Assert.Empty(NoticePlanner.OfState(Frame(new RoleRoute("operator")), Nothing, Book(Alarm(AlarmSeverity.Major) with { RaisedAt = Start.AddDays(-3) })).Notices);
    }

    [Fact]
    public void A_shelved_alarm_is_not_told_but_its_end_is_where_it_was_told_before()
    {
        var shelved = Alarm(AlarmSeverity.Major) with { OperatorState = OperatorState.Shelved };
        var route = new RoleRoute("operator");
        Assert.Empty(NoticePlanner.OfChanges(Frame(route), Nothing, Numbered(Raised(AlarmSeverity.Major)), Book(shelved)).Notices);
        Assert.Empty(NoticePlanner.OfState(Frame(route), Nothing, Book(shelved)).Notices);
        var told = Nothing.Add(Key, new ToldAlarm(Key, AlarmSeverity.Major, Start));
        var plan = NoticePlanner.OfChanges(Frame(route), told, Numbered(Changed(AlarmSeverity.Critical), Cleared(AlarmSeverity.Critical)), Book(shelved));
        Assert.Equal(["cleared"], plan.Notices.Select(n => n.Content.Kind));
    }

    [Theory]
    [InlineData("port/quay-west:1/4", "pole Quay 4")]
    [InlineData("run/quay-west:1/3", "pole Quay 3")]
    [InlineData("pole/quay-03", "pole Quay 3")]
    [InlineData("group/quay-west:1", "poles Quay 3, Quay 4")]
    [InlineData("switch/quay-west", "poles Quay 3, Quay 4")]
    [InlineData("switch/quay-east", "")]
    [InlineData("run/no-such", "")]
    [InlineData("site", "")]
    public void Places_are_found_by_the_design(string resource, string words) => Assert.Equal(words, Places.Words(resource));

    [Fact]
    public void The_severe_go_first_and_each_resource_in_its_order()
    {
        Notice[] due =
        [
            Notice(1, "a", AlarmSeverity.Minor), Notice(2, "b", AlarmSeverity.Minor), Notice(3, "a", AlarmSeverity.Critical),
            Notice(4, "c", AlarmSeverity.Minor, isHeld: true), Notice(5, "a", AlarmSeverity.Minor, isHeld: true), Notice(6, "c", AlarmSeverity.Minor, isHeld: true),
        ];
        Assert.Equal(["4,6", "1", "3", "5", "2"], SendOrder.Of(due.Reverse()).Select(part => string.Join(',', part.Select(n => n.Id))));
        Assert.Equal([100, 20], SendOrder.Of(Enumerable.Range(1, 120).Select(i => Notice(i, "x", AlarmSeverity.Minor, isHeld: true))).Select(p => p.Length));
    }

    [Fact]
    public void A_short_text_is_one_line_and_cut()
    {
        var content = Notice(1, "switch/quay-west", AlarmSeverity.Major).Content with { Text = "one\r\ntwo\tthree " + new string('x', 600) };
        var text = NoticeText.Short(content);
        Assert.StartsWith("MAJOR raised: port-dark, switch/quay-west. one two three xxx", text, StringComparison.Ordinal);
        Assert.Equal((480, '…'), (text.Length, text[^1]));
    }

    private static ImmutableDictionary<AlarmKey, ToldAlarm> Nothing => ImmutableDictionary<AlarmKey, ToldAlarm>.Empty;

    private static NoticePlan Plan(params AlarmChange[] changes) =>
        NoticePlanner.OfChanges(Frame(new RoleRoute("operator")), Nothing, Numbered(changes), Book(Alarm(AlarmSeverity.Major)));

    private static IEnumerable<string> Kinds(RoleRoute route, params AlarmChange[] changes) =>
        NoticePlanner.OfChanges(Frame(route), Nothing, Numbered(changes), Book(Alarm(AlarmSeverity.Major))).Notices.Select(n => n.Content.Kind);

    private static PlanFrame Frame(RoleRoute route) => new(new NoticeLane(route.Role, "desk"), route, Places, TimeZoneInfo.Utc, Start.AddDays(-1), Start.AddMinutes(10));

    private static IEnumerable<NumberedChange> Numbered(params AlarmChange[] changes) => changes.Select((c, i) => new NumberedChange(i + 1, c));

    private static Dictionary<AlarmKey, Alarm> Book(params Alarm[] alarms) => alarms.ToDictionary(a => a.Key);

    private static Alarm Alarm(AlarmSeverity severity) => new(Key, severity, false, Start, Start, "Dark.", "Look.", OperatorState.None, "", "");

    private static AlarmChange Raised(AlarmSeverity severity) => new(Key, Start, AlarmChangeKinds.Raised, severity, "", "Dark.");

    private static AlarmChange Changed(AlarmSeverity severity) => new(Key, Start.AddMinutes(1), AlarmChangeKinds.SeverityChanged, severity, "", "Dark.");

    private static AlarmChange Cleared(AlarmSeverity severity) => new(Key, Start.AddMinutes(2), AlarmChangeKinds.Cleared, severity, "", "Dark.");

    private static AlarmChange Operator(OperatorState state) => new(Key, Start.AddMinutes(1), AlarmChangeKinds.Of(state), AlarmSeverity.Minor, "nora", "on it");

    private static Notice Notice(long id, string resource, AlarmSeverity severity, bool isHeld = false) => new(
        id,
        new NoticeLane("operator", "desk"),
        new NoticeContent(resource, AlarmTypes.PortDark, AlarmChangeKinds.Raised, severity, Start, Start, "", "", "Dark.", "Look.", ""),
        Start,
        isHeld,
        NoticeState.Waiting,
        0,
        null,
        "");
}
