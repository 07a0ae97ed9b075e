using PoeWatch.Domain.Alarms;
using PoeWatch.Domain.Notices;
using PoeWatch.Monitoring.Abstractions;

namespace PoeWatch.Storage.Tests.Suites;

/// <summary>What every outbox does. Each adapter inherits it.</summary>
public abstract class NoticeStoreSuite : StoreSuite
{
    private static readonly DateTimeOffset Start = new(2026, 11, 25, 10, 0, 0, TimeSpan.Zero);
    private static readonly NoticeLane Desk = new("operator", "desk");
    private static readonly NoticeLane Mail = new("planner", "mail");
    private static readonly AlarmKey Dark = new("port/quay-west:1/3", AlarmTypes.PortDark);

    [Fact]
    public async Task A_new_lane_begins_behind_the_newest_change_and_an_old_one_where_it_stood()
    {
        await using (var first = await Harness.OpenAsync())
        {
            await first.Alarms.SaveAlarmsAsync([], [Change(0), Change(1)], Token);
            var lane = await Outbox(first).OpenLaneAsync(Desk, Start, Token);
            Assert.Empty(await Outbox(first).ReadChangesAfterAsync(lane.ReadTo, 10, Token));
            await first.Alarms.SaveAlarmsAsync([], [Change(2), Change(3), Change(4)], Token);
            var changes = await Outbox(first).ReadChangesAfterAsync(lane.ReadTo, 2, Token);
            Assert.Equal([Change(2), Change(3)], changes.Select(c => c.Change));
            Assert.True(await Outbox(first).StepLaneAsync(Step(lane.ReadTo, changes[1].Number), Token));
        }

        await using var second = await Harness.OpenAsync();
        var again = await Outbox(second).OpenLaneAsync(Desk, Start.AddDays(1), Token);
        Assert.Equal(Start, again.OpenedAt);
        Assert.Equal([Change(4)], (await Outbox(second).ReadChangesAfterAsync(again.ReadTo, 10, Token)).Select(c => c.Change));
        Assert.Empty(await Outbox(second).ReadChangesAfterAsync((await Outbox(second).OpenLaneAsync(Mail, Start, Token)).ReadTo, 10, Token));
    }

    [Fact]
    public async Task A_step_is_kept_whole_once_and_only_from_where_the_lane_stands()
    {
        await using (var first = await Harness.OpenAsync())
        {
            await Outbox(first).OpenLaneAsync(Desk, Start, Token);
            var step = Step(0, 7, New("a", 0), New("b", 1)) with { Told = [new ToldAlarm(Dark, AlarmSeverity.Major, Start)] };
            Assert.True(await Outbox(first).StepLaneAsync(step, Token));

            // The same call again, as after a lost answer, and one from elsewhere: neither does a thing.
            Assert.False(await Outbox(first).StepLaneAsync(step, Token));
            Assert.False(await Outbox(first).StepLaneAsync(Step(6, 9, New("c", 2)), Token));

            // A post key that is there already is left out; the rest of the step counts.
            Assert.True(await Outbox(first).StepLaneAsync(Step(7, 9, New("b", 2), New("d", 3)), Token));
        }

        await using var second = await Harness.OpenAsync();
        var lane = await Outbox(second).OpenLaneAsync(Desk, Start, Token);
        Assert.Equal(9, lane.ReadTo);
        Assert.Equal([new ToldAlarm(Dark, AlarmSeverity.Major, Start)], lane.Told);
        var due = await Outbox(second).ReadDueAsync(Desk, Start, 10, Token);
        Assert.Equal([Content(0), Content(1), Content(3)], due.Select(n => n.Content));
        Assert.Equal(due.Select(n => n.Id).Order(), due.Select(n => n.Id));
        Assert.Equal(3, due.Select(n => n.Id).Distinct().Count());

        Assert.True(await Outbox(second).StepLaneAsync(Step(9, 9) with { Untold = [Dark] }, Token));
        Assert.Empty((await Outbox(second).OpenLaneAsync(Desk, Start, Token)).Told);
    }

    [Fact]
    public async Task Held_notices_wait_until_they_are_due_or_one_of_their_resource_goes_out_at_once()
    {
        await using var store = await Harness.OpenAsync();
        await Outbox(store).OpenLaneAsync(Desk, Start, Token);
        var held = New("h1", 0) with { IsHeld = true, DueAt = Start.AddHours(1) };
        var other = held with { PostKey = "h2", Content = Content(1) with { Resource = "switch/quay-east" } };
        await Outbox(store).StepLaneAsync(Step(0, 1, held, other), Token);
        Assert.Empty(await Outbox(store).ReadDueAsync(Desk, Start, 10, Token));

        await Outbox(store).StepLaneAsync(Step(1, 2, New("now", 2)) with { At = Start.AddMinutes(1) }, Token);
        Assert.Equal([0, 2], (await Outbox(store).ReadDueAsync(Desk, Start.AddMinutes(1), 10, Token)).Select(n => n.Content.At.Minute));
        Assert.Equal([0, 1, 2], (await Outbox(store).ReadDueAsync(Desk, Start.AddHours(1), 10, Token)).Select(n => n.Content.At.Minute));
        Assert.Empty(await Outbox(store).ReadDueAsync(Mail, Start.AddHours(1), 10, Token));
    }

    [Fact]
    public async Task Attempts_are_noted_and_what_is_sent_or_dead_is_tried_no_more()
    {
        await using var store = await Harness.OpenAsync();
        await Outbox(store).PostNoticesAsync([New("a", 0), New("b", 1), New("c", 2), New("a", 9)], Token);
        var ids = (await Outbox(store).ReadDueAsync(Desk, Start, 10, Token)).Select(n => n.Id).ToArray();
        Assert.Equal(3, ids.Length);
        await Outbox(store).NoteAttemptAsync([ids[0]], NoticeState.Waiting, Start.AddSeconds(1), "away", Token);
        await Outbox(store).NoteAttemptAsync([ids[0]], NoticeState.Sent, Start.AddSeconds(2), "", Token);
        await Outbox(store).NoteAttemptAsync([ids[0]], NoticeState.Dead, Start.AddSeconds(3), "too late", Token);
        await Outbox(store).NoteAttemptAsync([ids[1]], NoticeState.Dead, Start.AddSeconds(4), "too\0long", Token);

        var sent = (await Outbox(store).FindNoticeAsync(ids[0], Token))!;
        Assert.Equal((NoticeState.Sent, 2, Start.AddSeconds(2), ""), (sent.State, sent.Attempts, sent.TriedAt, sent.Problem));
        var dead = Assert.Single(await Outbox(store).ReadNoticesAsync(NoticeState.Dead, null, 10, Token));
        Assert.Equal((ids[1], 1, "too\uFFFDlong"), (dead.Id, dead.Attempts, dead.Problem));
        Assert.Equal([ids[2], ids[1]], (await Outbox(store).ReadNoticesAsync(null, null, 2, Token)).Select(n => n.Id));
        Assert.Equal([ids[0]], (await Outbox(store).ReadNoticesAsync(null, ids[1], 2, Token)).Select(n => n.Id));
        Assert.Null(await Outbox(store).FindNoticeAsync(99, Token));
        Assert.Equal(
            [(NoticeState.Waiting, 1, Start.AddMinutes(2)), (NoticeState.Dead, 1, Start.AddMinutes(1))],
            (await Outbox(store).CountNoticesAsync(Token)).Select(c => (c.State, c.Count, c.OldestAt)));

        Assert.False(await Outbox(store).ReviveAsync(ids[0], Start, Token));
        Assert.True(await Outbox(store).ReviveAsync(ids[1], Start.AddHours(1), Token));
        Assert.Equal([ids[2]], (await Outbox(store).ReadDueAsync(Desk, Start.AddMinutes(59), 10, Token)).Select(n => n.Id));
        Assert.Equal([ids[1], ids[2]], (await Outbox(store).ReadDueAsync(Desk, Start.AddHours(1), 10, Token)).Select(n => n.Id));
    }

    [Fact]
    public async Task Tidying_gives_up_the_old_and_forgets_what_was_sent_and_what_is_too_much()
    {
        await using var store = await Harness.OpenAsync();
        await Outbox(store).PostNoticesAsync(
            [New("old", 0), New("dead", 0), New("young", 30), New("held", 0) with { IsHeld = true, DueAt = Start.AddHours(2) }, New("sent", 0), New("sent since", 0)], Token);
        var ids = (await Outbox(store).ReadNoticesAsync(null, null, 10, Token)).Select(n => n.Id).Order().ToArray();
        await Outbox(store).NoteAttemptAsync([ids[0]], NoticeState.Waiting, Start, "away", Token);
        await Outbox(store).NoteAttemptAsync([ids[1]], NoticeState.Dead, Start, "refused", Token);
        await Outbox(store).NoteAttemptAsync([ids[4]], NoticeState.Sent, Start.AddMinutes(-20), "", Token);
        await Outbox(store).NoteAttemptAsync([ids[5]], NoticeState.Sent, Start.AddMinutes(11), "", Token);

        var tidying = new NoticeTidying(Start.AddMinutes(10), Start.AddMinutes(-10), 2, "Too old.");
        Assert.Equal(new NoticesTidied(1, 1, 0), await Outbox(store).TidyNoticesAsync(tidying, Token));
        Assert.Equal("Too old. away", (await Outbox(store).FindNoticeAsync(ids[0], Token))!.Problem);
        Assert.Null(await Outbox(store).FindNoticeAsync(ids[4], Token));
        Assert.Equal(new NoticesTidied(0, 0, 1), await Outbox(store).TidyNoticesAsync(tidying with { DeadMax = 1 }, Token));
        Assert.Equal([ids[1]], (await Outbox(store).ReadNoticesAsync(NoticeState.Dead, null, 10, Token)).Select(n => n.Id));
        Assert.Equal(new NoticesTidied(0, 1, 0), await Outbox(store).TidyNoticesAsync(tidying with { ForgetBefore = Start.AddMinutes(1) }, Token));
        Assert.Equal([ids[5]], (await Outbox(store).ReadNoticesAsync(NoticeState.Sent, null, 10, Token)).Select(n => n.Id));
        Assert.Equal([ids[3], ids[2]], (await Outbox(store).ReadNoticesAsync(NoticeState.Waiting, null, 10, Token)).Select(n => n.Id));
    }

    private static INoticeStore Outbox(OpenStore store) => (INoticeStore)store.Alarms;

    private static AlarmChange Change(int minute) => new(Dark, Start.AddMinutes(minute), AlarmChangeKinds.Raised, AlarmSeverity.Major, "", $"dark {minute}");

    private static NoticeContent Content(int minute) => new(
        Dark.Resource, Dark.Type, AlarmChangeKinds.Raised, AlarmSeverity.Major, Start.AddMinutes(minute), Start, "pole Quay 3", "quay-03", "Zoë says: \"dark\"\n", "Look.", "");

    private static NewNotice New(string key, int minute) => new(Desk, key, Content(minute), Start, IsHeld: false);

    private static LaneStep Step(long from, long to, params NewNotice[] notices) => new(Desk, from, to, Start, [.. notices], [], []);
}
