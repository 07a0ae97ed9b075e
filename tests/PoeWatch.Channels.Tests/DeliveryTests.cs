using System.Globalization;
using System.Text.RegularExpressions;
using PoeWatch.Channels.Tests.Receivers;
using PoeWatch.Domain.Alarms;
using PoeWatch.Domain.Notices;
using PoeWatch.Monitoring.Abstractions;
using PoeWatch.Monitoring.Notices;

namespace PoeWatch.Channels.Tests;

/// <summary>Nothing is sent zero times, and each resource keeps its order: with real receivers, a real store and a driven clock.</summary>
public sealed partial class DeliveryTests
{
    private static readonly AlarmKey[] Keys = [.. Enumerable.Range(1, 4).Select(port => new AlarmKey($"port/quay-west:1/{port}", AlarmTypes.PortDark))];

    private static CancellationToken Token => TestContext.Current.CancellationToken;

    [Theory]
    [InlineData("webhook")]
    [InlineData("mail")]
    [InlineData("mail-tls")]
    [InlineData("syslog")]
    public async Task After_an_hour_without_the_receiver_everything_arrives_in_the_order_of_its_resource(string kind)
    {
        using var authority = new TestAuthority();
        await using Outbox outbox = await Outbox.OpenAsync();
        var port = FreePort.Take();
        NoticeLaneWorker worker = outbox.Worker(Kinds.Channel(kind, port, authority, outbox.Time));
        await worker.StepAsync(Token);

        // An alarm change a minute for an hour, round the ports: raised, more severe, cleared.
        string[] life = [AlarmChangeKinds.Raised, AlarmChangeKinds.SeverityChanged, AlarmChangeKinds.Cleared];
        for (var minute = 0; minute < 60; minute++)
        {
            var severity = life[minute / 4 % 3] == AlarmChangeKinds.Raised ? AlarmSeverity.Minor : AlarmSeverity.Major;
            await outbox.ChangeAsync(Keys[minute % 4], life[minute / 4 % 3], severity, $"event {minute}.");
            await worker.StepAsync(Token);
            outbox.Time.Advance(TimeSpan.FromMinutes(1));
        }

        Assert.Equal(60, (await outbox.NoticesAsync(NoticeState.Waiting)).Count);
        Assert.NotNull(worker.View.FailingSince);

        // Backed off to one attempt in five minutes: of 60 steps, few tried.
        Assert.InRange((await outbox.NoticesAsync()).Sum(n => n.Attempts), 10, 20);

        using var certificate = authority.Issue();
        var (receiver, taken) = await Kinds.ReceiverAsync(kind, port, certificate);
        await using (receiver)
        {
            outbox.Time.Advance(outbox.Options.RetryMax);
            await worker.StepAsync(Token);
            var events = taken().Select(text => (
                Resource: Resource().Match(text).Value, Number: int.Parse(Number().Match(text).Groups[1].Value, CultureInfo.InvariantCulture))).ToList();
            Assert.Equal(Enumerable.Range(0, 60), events.Select(e => e.Number).Distinct().Order());
            Assert.All(events.GroupBy(e => e.Resource), one => Assert.Equal(one.Select(e => e.Number).Order(), one.Select(e => e.Number)));
            Assert.Equal(4, events.Select(e => e.Resource).Distinct().Count());
        }

        Assert.Equal(60, (await outbox.NoticesAsync(NoticeState.Sent)).Count);
        Assert.Equal(("", null, null), (worker.View.Problem, worker.View.FailingSince, worker.View.NextTryAt));
    }

    [Fact]
    public async Task After_an_hour_without_the_SNMP_receiver_everything_arrives_in_the_order_of_its_resource()
    {
        await using Outbox outbox = await Outbox.OpenAsync();
        var port = TrapReceiver.FreePort();
        await using var channel = new SnmpChannel("out", "127.0.0.1", port, () => (new Kinds.Community().Find("manager", out _), ""), outbox.Time);
        NoticeLaneWorker worker = outbox.Worker(channel);
        await worker.StepAsync(Token);
        DateTimeOffset hourEnds = outbox.Time.GetUtcNow().AddHours(1);
        string[] life = [AlarmChangeKinds.Raised, AlarmChangeKinds.SeverityChanged, AlarmChangeKinds.Cleared];
        var count = 0;
        for (; outbox.Time.GetUtcNow() < hourEnds; count++)
        {
            var severity = life[count / 4 % 3] == AlarmChangeKinds.Raised ? AlarmSeverity.Minor : AlarmSeverity.Major;
            await outbox.ChangeAsync(Keys[count % 4], life[count / 4 % 3], severity, $"event {count}.");
            await DriveAsync(worker.StepAsync(Token), outbox, TimeSpan.FromMilliseconds(1));
            outbox.Time.Advance(TimeSpan.FromMinutes(1));
        }

        Assert.InRange(count, 40, 60);
        Assert.Equal(count, (await outbox.NoticesAsync(NoticeState.Waiting)).Count);
        Assert.NotNull(worker.View.FailingSince);

        await using TrapReceiver receiver = TrapReceiver.Start(port);
        for (var attempt = 0; attempt < 30 && (await outbox.NoticesAsync(NoticeState.Sent)).Count < count; attempt++)
        {
            outbox.Time.Advance(outbox.Options.RetryMax);
            await DriveAsync(worker.StepAsync(Token), outbox, TimeSpan.FromMilliseconds(100));
        }

        Assert.Equal(count, (await outbox.NoticesAsync(NoticeState.Sent)).Count);
        var events = receiver.Lines.Select(text => (
            Resource: Resource().Match(text).Value, Number: int.Parse(Number().Match(text).Groups[1].Value, CultureInfo.InvariantCulture))).ToList();
        Assert.Equal(Enumerable.Range(0, count), events.Select(e => e.Number).Distinct().Order());
        Assert.All(events.GroupBy(e => e.Resource), one => Assert.Equal(one.Select(e => e.Number).Order(), one.Select(e => e.Number)));
    }

    /// <summary>Lets driven time pass while something waits for an acknowledgement: a second for each stretch of real time.</summary>
    private static async Task DriveAsync(Task step, Outbox outbox, TimeSpan realTime)
    {
        while (await Task.WhenAny(step, Task.Delay(realTime, TimeProvider.System, Token)) != step)
        {
            outbox.Time.Advance(TimeSpan.FromSeconds(1));
        }

        await step;
    }

    [Theory]
    [InlineData("webhook")]
    [InlineData("mail")]
    [InlineData("syslog")]
    public async Task A_crash_after_sending_and_before_noting_it_sends_twice_and_never_not_at_all(string kind)
    {
        using var authority = new TestAuthority();
        using var certificate = authority.Issue();
        await using Outbox outbox = await Outbox.OpenAsync();
        var port = FreePort.Take();
        var (receiver, taken) = await Kinds.ReceiverAsync(kind, port, certificate);
        await using (receiver)
        {
            INoticeChannel channel = Kinds.Channel(kind, port, authority, outbox.Time);
            using var crash = CancellationTokenSource.CreateLinkedTokenSource(Token);
            NoticeLaneWorker first = outbox.Worker(new CrashingChannel(channel, crash));
            await first.StepAsync(crash.Token);
            await outbox.ChangeAsync(Keys[0], AlarmChangeKinds.Raised, AlarmSeverity.Major, "event 1.");
            await Assert.ThrowsAnyAsync<OperationCanceledException>(() => first.StepAsync(crash.Token));
            Assert.Single(taken());

            await outbox.RestartAsync();
            await outbox.Worker(channel).StepAsync(Token);
            Assert.Equal(2, taken().Count);
            Assert.Equal(Resource().Match(taken()[0]).Value, Resource().Match(taken()[1]).Value);
            Notice notice = Assert.Single(await outbox.NoticesAsync());
            Assert.Equal(NoticeState.Sent, notice.State);
        }
    }

    [Fact]
    public async Task A_restart_neither_repeats_nor_loses_what_was_told()
    {
        await using Outbox outbox = await Outbox.OpenAsync();
        var channel = new ListChannel();
        await outbox.Worker(channel).StepAsync(Token);
        await outbox.ChangeAsync(Keys[0], AlarmChangeKinds.Raised, AlarmSeverity.Major);

        // Killed before the change was even taken, then after it was sent, then while nothing ran at all.
        await outbox.RestartAsync();
        await outbox.Worker(channel).StepAsync(Token);
        Assert.Equal([AlarmChangeKinds.Raised], channel.Kinds);
        await outbox.RestartAsync();
        await outbox.Worker(channel).StepAsync(Token);
        await outbox.ChangeAsync(Keys[0], AlarmChangeKinds.Cleared, AlarmSeverity.Major);
        await outbox.ChangeAsync(Keys[1], AlarmChangeKinds.Raised, AlarmSeverity.Minor);
        outbox.Time.Advance(TimeSpan.FromDays(1));
        await outbox.Worker(channel).StepAsync(Token);
        Assert.Equal([AlarmChangeKinds.Raised, AlarmChangeKinds.Cleared, AlarmChangeKinds.Raised], channel.Kinds);
    }

    [Fact]
    public async Task What_a_receiver_refuses_is_given_up_and_the_next_goes_on()
    {
        using var authority = new TestAuthority();
        using var certificate = authority.Issue();
        await using Outbox outbox = await Outbox.OpenAsync();
        var port = FreePort.Take();
        var status = 422;
        await using WebhookReceiver receiver = await WebhookReceiver.StartAsync(port, certificate, () => status);
        NoticeLaneWorker worker = outbox.Worker(Kinds.Channel("webhook", port, authority, outbox.Time));
        await worker.StepAsync(Token);
        await outbox.ChangeAsync(Keys[0], AlarmChangeKinds.Raised, AlarmSeverity.Major, "event 1.");
        await outbox.ChangeAsync(Keys[0], AlarmChangeKinds.Cleared, AlarmSeverity.Major, "event 2.");
        for (var attempt = 0; attempt < 3; attempt++)
        {
            await worker.StepAsync(Token);
            outbox.Time.Advance(TimeSpan.FromMinutes(5));
        }

        Notice dead = Assert.Single(await outbox.NoticesAsync(NoticeState.Dead));
        Assert.Equal(("event 1.", 3, "localhost answered 422 Unprocessable Entity."), (dead.Content.Text, dead.Attempts, dead.Problem));
        Assert.Equal(1, worker.View.Dead);
        status = 500;
        await worker.StepAsync(Token);
        Assert.Equal(NoticeState.Waiting, (await outbox.NoticesAsync())[1].State);
        status = 200;
        outbox.Time.Advance(TimeSpan.FromMinutes(5));
        await worker.StepAsync(Token);
        Assert.Equal(NoticeState.Sent, (await outbox.NoticesAsync())[1].State);

        // Sent again by hand.
        Assert.True(await outbox.Store.ReviveAsync(dead.Id, outbox.Time.GetUtcNow(), Token));
        await worker.StepAsync(Token);
        Assert.Equal(2, (await outbox.NoticesAsync(NoticeState.Sent)).Count);
    }

    [Fact]
    public async Task A_full_lane_takes_no_more_changes_and_loses_none()
    {
        await using Outbox outbox = await Outbox.OpenAsync();
        outbox.Options.WaitingMax = 100;
        var channel = new ListChannel { Answer = Sending.Failed("away") };
        NoticeLaneWorker worker = outbox.Worker(channel);
        await worker.StepAsync(Token);
        for (var change = 0; change < 250; change++)
        {
            await outbox.ChangeAsync(Keys[0], change % 2 == 0 ? AlarmChangeKinds.Raised : AlarmChangeKinds.Cleared, AlarmSeverity.Major, $"event {change}.");
            outbox.Time.Advance(TimeSpan.FromSeconds(1));
        }

        for (var step = 0; step < 10; step++)
        {
            await worker.StepAsync(Token);
            outbox.Time.Advance(TimeSpan.FromMinutes(5));
        }

        Assert.Equal(100, (await outbox.NoticesAsync()).Count);
        Assert.True(worker.IsFull);

        channel.Answer = Sending.Sent;
        for (var step = 0; step < 10; step++)
        {
            await worker.StepAsync(Token);
        }

        Assert.Equal(Enumerable.Range(0, 250).Select(n => $"event {n}."), channel.Texts);
    }

    [GeneratedRegex(@"event (\d+)\.")]
    private static partial Regex Number();

    [GeneratedRegex("port/quay-west:1/[0-9]")]
    private static partial Regex Resource();

    /// <summary>Sends, and then the process is gone.</summary>
    private sealed class CrashingChannel(INoticeChannel inner, CancellationTokenSource crash) : INoticeChannel
    {
        public string Name => inner.Name;

        public async Task<Sending> SendAsync(NoticeMessage message, CancellationToken cancellationToken)
        {
            Assert.Equal(SendingResult.Sent, (await inner.SendAsync(message, cancellationToken)).Result);
            await crash.CancelAsync();
            throw new OperationCanceledException(crash.Token);
        }
    }
}
