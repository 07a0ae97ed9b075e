using System.Collections.Concurrent;
using System.Collections.Frozen;
using Microsoft.Extensions.Logging;
using Microsoft.Extensions.Options;
using Microsoft.Extensions.Time.Testing;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.Readings;
using PoeWatch.Monitoring.Abstractions;
using PoeWatch.Monitoring.Polling;
using PoeWatch.Monitoring.Telemetry;

namespace PoeWatch.Monitoring.Tests.Polling;

public sealed class PollLoopTests : IDisposable
{
    private readonly FakeTimeProvider _time = new();
    private readonly HeldReader _reader = new();
    private readonly Readings _sink = new();
    private readonly TestMeters _meters = new();
    private readonly Lines _lines = new();
    private readonly PollLoop _loop;

    public PollLoopTests()
    {
        var options = new PollingOptions { MaxInFlight = 2 };
        _loop = new PollLoop(_reader, _sink, new PollingMetrics(_meters), Options.Create(options), _time, _lines);
    }

    private static CancellationToken Stop => TestContext.Current.CancellationToken;

    [Fact]
    public async Task No_more_polls_are_in_flight_than_allowed_and_all_get_their_turn()
    {
        _loop.Follow(Targets("a", "b", "c", "d", "e"));
        await _loop.StartAsync(Stop);
        await UntilAsync(() => _reader.Waiting == 2);
        await TurnsAsync(20);
        Assert.Equal((2, 2), (_reader.Waiting, _loop.InFlight));

        while (_sink.Ids.Distinct().Count() < 5)
        {
            _reader.ReleaseOne();
            await TurnsAsync(1);
        }

        Assert.Equal(2, _reader.MostWaiting);
        await StopAsync();
    }

    [Fact]
    public async Task A_fault_of_the_reader_ends_one_poll_and_not_the_loop()
    {
        _reader.Throws = true;
        _loop.Follow(Targets("a"));
        await _loop.StartAsync(Stop);
        await UntilAsync(() => _reader.Calls >= 2);

        _reader.Throws = false;
        await UntilAsync(() => _reader.Waiting == 1);
        _reader.ReleaseOne();
        await UntilAsync(() => !_sink.Ids.IsEmpty);
        await StopAsync();
    }

    [Fact]
    public async Task A_change_of_what_an_agent_answers_is_one_line_and_a_poll_is_none()
    {
        _reader.IsFree = true;
        _loop.Follow(Targets("a"));
        await _loop.StartAsync(Stop);
        await UntilAsync(() => _sink.Ids.Count >= 3);
        Assert.Empty(_lines.Texts);

        _reader.Outcome = PollOutcome.Silent;
        await UntilAsync(() => _sink.Outcomes.Count(o => o == PollOutcome.Silent) >= 3);
        _reader.Outcome = PollOutcome.Answered;
        await UntilAsync(() => _lines.Texts.Count >= 2);
        await TurnsAsync(30);

        Assert.Equal(["a is silent: why", "a answers again."], _lines.Texts);
        await StopAsync();
    }

    [Fact]
    public async Task A_poll_that_never_ends_is_given_up_and_the_agent_is_polled_again()
    {
        _loop.Follow(Targets("a"));
        await _loop.StartAsync(Stop);
        await UntilAsync(() => _reader.Waiting == 1);

        await UntilAsync(() => _sink.Ids.Count == 1 && _reader.Calls == 2);

        Assert.Equal(PollOutcome.Silent, _sink.Outcomes.Single());
        await StopAsync();
    }

    [Fact]
    public async Task Agents_of_a_new_design_are_polled_without_a_restart()
    {
        await _loop.StartAsync(Stop);
        await TurnsAsync(5);

        _loop.Follow(Targets("late"));

        await UntilAsync(() => _reader.Waiting == 1);
        await StopAsync();
    }

    [Fact]
    public async Task A_silent_switch_behind_a_silent_one_is_asked_with_one_request_rarely_and_at_once_when_the_way_is_open()
    {
        _reader.IsFree = true;
        _reader.Outcome = PollOutcome.Silent;
        FrozenDictionary<string, PollTarget> plain = Targets("core", "ring");
        _loop.Follow(new Dictionary<string, PollTarget> { ["core"] = plain["core"], ["ring"] = plain["ring"] with { Upstream = "core" } });
        await _loop.StartAsync(Stop);
        await UntilAsync(() => _loop.CutOff == 1 && _reader.Asked.Any(t => t is { PseId: "ring", IsOneRequest: true }));
        var before = _reader.Asked.Count(t => t.PseId == "ring");
        await TurnsAsync(250);
        Assert.InRange(_reader.Asked.Count(t => t.PseId == "ring") - before, 0, 1);
        Assert.DoesNotContain(_reader.Asked, t => t is { PseId: "core", IsOneRequest: true });

        _reader.Outcome = PollOutcome.Answered;
        await UntilAsync(() => _sink.Latest.GetValueOrDefault("core") == PollOutcome.Answered);
        DateTimeOffset open = _time.GetUtcNow();
        await UntilAsync(() => _sink.Latest.GetValueOrDefault("ring") == PollOutcome.Answered);

        Assert.InRange((_time.GetUtcNow() - open).TotalSeconds, 0, 5);
        Assert.Equal(0, _loop.CutOff);
        await StopAsync();
    }

    [Theory]
    [InlineData(PollOutcome.Silent)]
    [InlineData(PollOutcome.Refused)]
    [InlineData(PollOutcome.Malformed)]
    public async Task What_is_asked_more_rarely_says_how_long_its_last_word_has_to_serve(PollOutcome outcome)
    {
        _reader.IsFree = true;
        _reader.Outcome = outcome;
        _loop.Follow(Targets("a"));
        await _loop.StartAsync(Stop);
        await UntilAsync(() => _sink.Ids.Count >= 5);

        // Backoff of a period of 10 s: twice the same, then doubled.
        Assert.Equal([10, 10, 20, 40, 80], _sink.Nexts.Take(5).Select(next => next?.TotalSeconds));
        await StopAsync();
    }

    [Fact]
    public async Task A_poll_that_is_asked_for_comes_before_its_slot_and_once()
    {
        _reader.IsFree = true;
        _loop.Follow(new Dictionary<string, PollTarget> { ["a"] = Slow("a") });
        await _loop.StartAsync(Stop);
        await UntilAsync(() => _sink.Ids.Count == 1);
        await TurnsAsync(10);

        Assert.Equal(1, Enumerable.Range(0, 50).Count(_ => _loop.PollSoon("a", TimeSpan.FromSeconds(2))));
        Assert.False(_loop.PollSoon("unknown", TimeSpan.FromSeconds(2)));
        await UntilAsync(() => _sink.Ids.Count == 2);
        await TurnsAsync(10);

        Assert.Equal(2, _sink.Ids.Count);
        await StopAsync();
    }

    [Fact]
    public async Task The_reader_is_told_which_agents_are_left()
    {
        _loop.Follow(Targets("a", "b"));
        _loop.Follow(Targets("b"));

        Assert.Equal(["b"], _reader.Kept);
        await StopAsync();
    }

    public void Dispose()
    {
        _loop.Dispose();
        _meters.Dispose();
    }

    private static FrozenDictionary<string, PollTarget> Targets(params string[] ids) => ids.ToFrozenDictionary(id => id, id => new PollTarget(
        id,
        new SnmpAgent("127.0.0.1", 161, "test", TimeSpan.FromSeconds(10), null),
        PortTypes.None));

    private static PollTarget Slow(string id) => new(
        id, new SnmpAgent("127.0.0.1", 161, "test", TimeSpan.FromMinutes(15), null), PortTypes.None);

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

        Assert.True(reached(), "Not reached in 2000 s of driven time.");
    }

    private async Task StopAsync()
    {
        _reader.ReleaseAll();
        await _loop.StopAsync(Stop);
    }

    /// <summary>Holds every poll until it is released.</summary>
    private sealed class HeldReader : ISwitchReader
    {
        private readonly ConcurrentQueue<TaskCompletionSource> _held = new();
        private int _calls;
        private int _waiting;
        private volatile bool _free;

        public bool IsFree
        {
            set => _free = value;
        }

        public PollOutcome Outcome { get; set; } = PollOutcome.Answered;

        public bool Throws { get; set; }

        public int Calls => Volatile.Read(ref _calls);

        public int Waiting => Volatile.Read(ref _waiting);

        public int MostWaiting { get; private set; }

        public ConcurrentBag<PollTarget> Asked { get; } = [];

        public IReadOnlyList<string> Kept { get; private set; } = [];

        public void Keep(IReadOnlyDictionary<string, PollTarget> targets) => Kept = [.. targets.Keys];

        public async Task<SwitchReading> ReadAsync(PollTarget target, CancellationToken cancellationToken)
        {
            Interlocked.Increment(ref _calls);
            Asked.Add(target);
            if (Throws)
            {
                throw new InvalidOperationException("a fault of the reader");
            }

            var held = new TaskCompletionSource(TaskCreationOptions.RunContinuationsAsynchronously);
            _held.Enqueue(held);
            lock (_held)
            {
                MostWaiting = Math.Max(MostWaiting, Interlocked.Increment(ref _waiting));
            }

            if (!_free)
            {
                await held.Task.WaitAsync(cancellationToken);
            }

            Interlocked.Decrement(ref _waiting);
            return new SwitchReading(target.PseId, 0, DateTimeOffset.UnixEpoch, Outcome, Outcome == PollOutcome.Answered ? "" : "why", null, [], []);
        }

        public void ReleaseOne()
        {
            if (_held.TryDequeue(out TaskCompletionSource? held))
            {
                held.TrySetResult();
            }
        }

        public void ReleaseAll()
        {
            _free = true;
            while (_held.TryDequeue(out TaskCompletionSource? held))
            {
                held.TrySetResult();
            }
        }
    }

    private sealed class Readings : IReadingSink
    {
        public ConcurrentBag<string> Ids { get; } = [];

        public ConcurrentBag<PollOutcome> Outcomes { get; } = [];

        public ConcurrentQueue<TimeSpan?> Nexts { get; } = [];

        public ConcurrentDictionary<string, PollOutcome> Latest { get; } = [];

        public void Accept(SwitchReading reading)
        {
            Outcomes.Add(reading.Outcome);
            Nexts.Enqueue(reading.NextWithin);
            Latest[reading.PseId] = reading.Outcome;
            Ids.Add(reading.PseId);
        }
    }

    private sealed class Lines : ILogger<PollLoop>
    {
        public ConcurrentQueue<string> Texts { get; } = [];

        public IDisposable? BeginScope<TState>(TState state)
            where TState : notnull => null;

        public bool IsEnabled(LogLevel logLevel) => true;

        public void Log<TState>(LogLevel logLevel, EventId eventId, TState state, Exception? exception, Func<TState, Exception?, string> formatter) =>
            Texts.Enqueue(formatter(state, exception));
    }
}
