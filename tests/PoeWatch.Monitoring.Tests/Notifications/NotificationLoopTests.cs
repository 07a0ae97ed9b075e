using System.Collections.Concurrent;
using System.Collections.Frozen;
using System.Net;
using Microsoft.Extensions.Logging;
using Microsoft.Extensions.Logging.Abstractions;
using Microsoft.Extensions.Options;
using Microsoft.Extensions.Time.Testing;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.Readings;
using PoeWatch.Monitoring.Abstractions;
using PoeWatch.Monitoring.Notifications;
using PoeWatch.Monitoring.Polling;
using PoeWatch.Monitoring.Telemetry;
using PoeWatch.Snmp;
using PoeWatch.Snmp.Notifications;

namespace PoeWatch.Monitoring.Tests.Notifications;

/// <summary>From a believed notification to an early poll of the agent that it is of, and to nothing else.</summary>
public sealed class NotificationLoopTests : IDisposable
{
    private static readonly IPAddress Quay = IPAddress.Parse("192.0.2.1");
    private readonly FakeTimeProvider _time = new();
    private readonly TestMeters _meters = new();
    private readonly Reader _reader = new();
    private readonly Lines _lines = new();
    private readonly PollLoop _polls;
    private readonly NotificationLoop _loop;

    public NotificationLoopTests()
    {
        _polls = new PollLoop(_reader, _reader, new PollingMetrics(_meters), Options.Create(new PollingOptions()), _time, NullLogger<PollLoop>.Instance);

        // Any free port on loopback; the test hands over what the receiver would.
        _loop = new NotificationLoop(
            _polls, new Secrets(), Options.Create(new NotificationOptions { Address = "127.0.0.1", Port = 0 }), new NotificationMetrics(_meters),
            new Lazy<EngineIdentity>(() => new EngineIdentity([0x80, 0, 0, 0, 5, 1], 1)), _time, _lines);
    }

    private static CancellationToken Stop => TestContext.Current.CancellationToken;

    [Fact]
    public async Task A_notification_polls_its_switch_before_the_slot_and_no_other()
    {
        await StartAsync();
        await UntilAsync(() => _reader.Polled.Distinct().Count() == 2);
        await TurnsAsync(5);
        var before = _reader.Polled.Count;

        _loop.Accept(Notification("1.3.6.1.2.1.105.0.1", "quay"));
        await UntilAsync(() => _reader.Polled.Count == before + 1);
        await TurnsAsync(10);

        Assert.Equal(2, _reader.Polled.Count(id => id == "quay"));
        Assert.Equal(1, _reader.Polled.Count(id => id == "mole"));
        await StopAsync();
    }

    [Fact]
    public async Task Another_kind_of_notification_is_no_reason_to_poll()
    {
        await StartAsync();
        await UntilAsync(() => _reader.Polled.Distinct().Count() == 2);
        await TurnsAsync(5);
        var before = _reader.Polled.Count;

        _loop.Accept(Notification("1.3.6.1.4.1.99999.0.1", "quay"));
        await TurnsAsync(10);

        Assert.Equal(before, _reader.Polled.Count);
        await StopAsync();
    }

    [Fact]
    public async Task Only_agents_of_the_design_in_force_are_known()
    {
        await StartAsync();
        await UntilAsync(() => _loop.At(Quay).Count == 1);
        Assert.Empty(_loop.At(IPAddress.Parse("192.0.2.77")));

        _polls.Follow(Targets("mole"));

        await UntilAsync(() => _loop.At(Quay).Count == 0);
        await StopAsync();
    }

    [Fact]
    public async Task A_switch_is_known_by_every_address_that_it_may_answer_from()
    {
        await StartAsync();
        await UntilAsync(() => _loop.At(Quay).Count == 1);
        var backDoor = IPAddress.Parse("192.0.2.201");
        Assert.Empty(_loop.At(backDoor));

        _polls.Follow(Targets("quay").ToFrozenDictionary(t => t.Key, t => t.Value with { Agent = t.Value.Agent with { AnswersFrom = [backDoor] } }));

        await UntilAsync(() => _loop.At(backDoor).Count == 1);
        Assert.Equal("quay", Assert.Single(_loop.At(backDoor)).Id);
        await StopAsync();
    }

    [Fact]
    public async Task An_unknown_sender_is_one_line_however_much_it_sends()
    {
        await StartAsync();
        for (var i = 0; i < 1000; i++)
        {
            _loop.Refuse(IPAddress.Parse("198.51.100.9"), NotificationRefusal.UnknownSender);
        }

        Assert.Single(_lines.Texts, line => line.Contains("198.51.100.9", StringComparison.Ordinal));
        await StopAsync();
    }

    public void Dispose()
    {
        _loop.Dispose();
        _polls.Dispose();
        _meters.Dispose();
    }

    private static SnmpNotification Notification(string kind, string pseId) => new(Quay, [pseId], Oid.Parse(kind), TimeSpan.FromSeconds(1), [], false);

    private static FrozenDictionary<string, PollTarget> Targets(params string[] ids) => ids.ToFrozenDictionary(id => id, id => new PollTarget(
        id, new SnmpAgent(id == "quay" ? "192.0.2.1" : "192.0.2.2", 161, "harbour", TimeSpan.FromMinutes(15), null), PortTypes.None));

    private async Task StartAsync()
    {
        _polls.Follow(Targets("quay", "mole"));
        await _polls.StartAsync(Stop);
        await _loop.StartAsync(Stop);
    }

    private async Task StopAsync()
    {
        await _loop.StopAsync(Stop);
        await _polls.StopAsync(Stop);
    }

    private async Task TurnsAsync(int turns)
    {
        for (var i = 0; i < turns; i++)
        {
            _time.Advance(TimeSpan.FromSeconds(1));
            await Task.Delay(TimeSpan.FromMilliseconds(1), TimeProvider.System, Stop);
        }
    }

    private async Task UntilAsync(Func<bool> reached)
    {
        for (var i = 0; i < 2_000 && !reached(); i++)
        {
            await TurnsAsync(1);
        }

        Assert.True(reached());
    }

    private sealed class Reader : ISwitchReader, IReadingSink
    {
        public ConcurrentQueue<string> Polled { get; } = [];

        public Task<SwitchReading> ReadAsync(PollTarget target, CancellationToken cancellationToken)
        {
            Polled.Enqueue(target.PseId);
            return Task.FromResult(new SwitchReading(target.PseId, 0, DateTimeOffset.UnixEpoch, PollOutcome.Answered, "", null, [], []));
        }

        public void Accept(SwitchReading reading)
        {
        }
    }

    private sealed class Secrets : ICredentialSource
    {
        public SnmpCredentials? Find(string name, out string problem)
        {
            problem = string.Empty;
            return new CommunityCredentials("harbour-traps");
        }
    }

    private sealed class Lines : ILogger<NotificationLoop>
    {
        public ConcurrentQueue<string> Texts { get; } = [];

        public IDisposable? BeginScope<TState>(TState state)
            where TState : notnull => null;

        public bool IsEnabled(LogLevel logLevel) => true;

        public void Log<TState>(LogLevel logLevel, EventId eventId, TState state, Exception? exception, Func<TState, Exception?, string> formatter) =>
            Texts.Enqueue(formatter(state, exception));
    }
}
