using System.Collections.Frozen;
using PoeWatch.Domain.Alarms;
using PoeWatch.Domain.Notices;
using PoeWatch.Monitoring.Notices;

namespace PoeWatch.Channels.Tests;

/// <summary>Quiet hours, digests and shelves along a timeline, with a real store.</summary>
public sealed class RoutingTests
{
    private static readonly AlarmKey Dark = new("port/quay-west:1/3", AlarmTypes.PortDark);
    private static readonly AlarmKey Low = new("run/quay-west:1/3", AlarmTypes.HeadroomLow);

    private static CancellationToken Token => TestContext.Current.CancellationToken;

    [Fact]
    public async Task In_quiet_hours_only_critical_alarms_call_and_the_rest_comes_together_in_the_morning()
    {
        await using Outbox outbox = await Outbox.OpenAsync();
        var channel = new ListChannel();
        var route = new RoleRoute("operator") { Quiet = new QuietHours(new TimeOnly(22, 0), new TimeOnly(6, 0)) };
        NoticeLaneWorker worker = outbox.Worker(channel, route);
        await worker.StepAsync(Token);

        // The site's zone is an hour before UTC in November: 23:30 there.
        outbox.Time.SetUtcNow(new DateTimeOffset(2026, 11, 25, 22, 30, 0, TimeSpan.Zero));
        await outbox.ChangeAsync(Low, AlarmChangeKinds.Raised, AlarmSeverity.Minor, "low");
        await outbox.ChangeAsync(Low, AlarmChangeKinds.Cleared, AlarmSeverity.Minor, "low");
        await worker.StepAsync(Token);
        Assert.Empty(channel.Taken);

        await outbox.ChangeAsync(Dark, AlarmChangeKinds.Raised, AlarmSeverity.Critical, "dark");
        await worker.StepAsync(Token);
        Assert.Equal(["dark"], channel.Texts);

        outbox.Time.SetUtcNow(new DateTimeOffset(2026, 11, 26, 4, 59, 0, TimeSpan.Zero));
        await worker.StepAsync(Token);
        Assert.Single(channel.Taken);
        outbox.Time.SetUtcNow(new DateTimeOffset(2026, 11, 26, 5, 0, 0, TimeSpan.Zero));
        await worker.StepAsync(Token);
        Assert.Equal([AlarmChangeKinds.Raised, AlarmChangeKinds.Cleared], channel.Taken[1].Notices.Select(n => n.Content.Kind));
        Assert.Equal("2 notices from 2026-11-25 23:30 to 23:30, worst minor", channel.Taken[1].Subject);
    }

    [Fact]
    public async Task A_mild_notice_that_is_held_goes_before_a_severe_one_of_its_resource()
    {
        await using Outbox outbox = await Outbox.OpenAsync();
        var channel = new ListChannel();
        NoticeLaneWorker worker = outbox.Worker(channel, new RoleRoute("operator") { DigestBelow = AlarmSeverity.Major });
        await worker.StepAsync(Token);
        await outbox.ChangeAsync(Low, AlarmChangeKinds.Raised, AlarmSeverity.Minor, "early");
        await outbox.ChangeAsync(Dark, AlarmChangeKinds.Raised, AlarmSeverity.Warning, "another");
        await worker.StepAsync(Token);
        Assert.Empty(channel.Taken);
        await outbox.ChangeAsync(Low, AlarmChangeKinds.SeverityChanged, AlarmSeverity.Major, "late");
        await worker.StepAsync(Token);
        Assert.Equal(["early", "late"], channel.Texts);

        outbox.Time.Advance(TimeSpan.FromHours(1));
        await worker.StepAsync(Token);
        Assert.Equal(["early", "late", "another"], channel.Texts);
    }

    [Fact]
    public async Task A_shelved_alarm_calls_nobody_until_it_is_un_shelved()
    {
        await using Outbox outbox = await Outbox.OpenAsync();
        var channel = new ListChannel();
        NoticeLaneWorker worker = outbox.Worker(channel);
        await worker.StepAsync(Token);
        await outbox.ChangeAsync(Dark, AlarmChangeKinds.Raised, AlarmSeverity.Major);
        await outbox.ShelveAsync(Dark, OperatorState.Shelved);
        await worker.StepAsync(Token);
        outbox.Time.Advance(TimeSpan.FromMinutes(5));
        await worker.StepAsync(Token);
        Assert.Empty(channel.Taken);

        await outbox.ShelveAsync(Dark, OperatorState.UnShelved);
        await worker.StepAsync(Token);
        outbox.Time.Advance(TimeSpan.FromMinutes(1));
        await worker.StepAsync(Token);
        Assert.Equal([AlarmChangeKinds.Raised], channel.Kinds);
    }

    [Fact]
    public async Task A_role_is_told_only_of_its_types_and_poles_and_never_of_the_past()
    {
        await using Outbox outbox = await Outbox.OpenAsync();
        var channel = new ListChannel();
        await outbox.ChangeAsync(Dark, AlarmChangeKinds.Raised, AlarmSeverity.Critical, "long ago");
        outbox.Time.Advance(TimeSpan.FromMinutes(1));
        var route = new RoleRoute("operator") { PoleIds = new[] { "quay-03" }.ToFrozenSet(), LeastSeverity = AlarmSeverity.Minor };
        NoticeLaneWorker worker = outbox.Worker(channel, route);
        await worker.StepAsync(Token);
        await outbox.ChangeAsync(Low, AlarmChangeKinds.Raised, AlarmSeverity.Minor, "here");
        await outbox.ChangeAsync(Low with { Type = AlarmTypes.DrawAboveDesign }, AlarmChangeKinds.Raised, AlarmSeverity.Warning, "too mild");
        await outbox.ChangeAsync(new AlarmKey("switch/quay-east", AlarmTypes.SwitchSilent), AlarmChangeKinds.Raised, AlarmSeverity.Major, "elsewhere");
        await outbox.ChangeAsync(new AlarmKey("switch/quay-west", AlarmTypes.SwitchSilent), AlarmChangeKinds.Raised, AlarmSeverity.Major, "feeds the pole");
        await worker.StepAsync(Token);
        outbox.Time.Advance(TimeSpan.FromMinutes(2));
        await worker.StepAsync(Token);
        Assert.Equal(["feeds the pole", "here"], channel.Texts);
        Assert.All(channel.Notices, n => Assert.Equal(("pole Quay 3", "quay-03"), (n.Content.Place, n.Content.PoleId)));
    }
}
