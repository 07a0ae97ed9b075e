using System.Collections.Concurrent;
using Microsoft.Extensions.Hosting;
using Microsoft.Extensions.Logging;
using Microsoft.Extensions.Options;
using PoeWatch.Domain.Readings;
using PoeWatch.Domain.Readings.Changes;
using PoeWatch.Monitoring.Abstractions;
using PoeWatch.Monitoring.Service;
using PoeWatch.Monitoring.Telemetry;

namespace PoeWatch.Monitoring.Polling;

/// <summary>
/// Polls every agent of the design in force, each by its own period, a bounded number at once, and hands each finished poll on.
/// Thread safe where public.
/// </summary>
public sealed partial class PollLoop : BackgroundService, IPollCounts
{
    // The loop is woken for everything that it waits for; this is only so that no wait is without end.
    private static readonly TimeSpan LookAgain = TimeSpan.FromSeconds(1);

    // What is due within one beat starts together: a timer of its own for each of thousands of agents would cost more than asking them.
    private static readonly TimeSpan s_beat = TimeSpan.FromMilliseconds(10);

    // A poll that failed a moment before the way was open again is not worth waiting for.
    private static readonly TimeSpan s_wakeGap = TimeSpan.FromSeconds(1);

    private readonly Lock _gate = new();
    private readonly PollSchedule _schedule;
    private readonly UplinkWatch _uplinks = new();
    private readonly WakeSignal _wake;
    private readonly PollingOptions _options;
    private readonly ISwitchReader _reader;
    private readonly IReadingSink _sink;
    private readonly PollingMetrics _metrics;
    private readonly TimeProvider _time;
    private readonly long _start;
    private readonly ILogger<PollLoop> _log;
    private IReadOnlyDictionary<string, PollTarget> _targets = new Dictionary<string, PollTarget>();
    private readonly ConcurrentDictionary<string, PollOutcome> _outcomes = new(StringComparer.Ordinal);
    private readonly ConcurrentDictionary<string, FindingKey[]> _findings = new(StringComparer.Ordinal);
    private readonly TaskCompletionSource _followed = new(TaskCreationOptions.RunContinuationsAsynchronously);
    private int _inFlight;

    // When the loop looks again, and whether it left something for want of room: then every end of a poll is worth a look.
    private TimeSpan _looksAt;
    private bool _isFull;

    public PollLoop(
        ISwitchReader reader,
        IReadingSink sink,
        PollingMetrics metrics,
        IOptions<PollingOptions> options,
        TimeProvider time,
        ILogger<PollLoop> log)
    {
        (_reader, _sink, _metrics, _options, _time, _log) = (reader, sink, metrics, options.Value, time, log);
        _schedule = new PollSchedule(new Random(_options.PhaseSeed), _options.SilentPeriodMax);
        _start = time.GetTimestamp();
        _wake = new WakeSignal(time);
        metrics.Observe(() => Volatile.Read(ref _inFlight), () => MissedSlots, () => Locked(() => _schedule.Overdue(Elapsed())), () => Locked(() => _uplinks.CutOff));
    }

    /// <summary>Polls in flight now.</summary>
    public int InFlight => Volatile.Read(ref _inFlight);

    /// <summary>Slots that passed unpolled because a poll still ran or the bound of polls in flight was reached.</summary>
    public long MissedSlots => Locked(() => _schedule.MissedSlots);

    public long MissedSlotsOf(string pseId) => Locked(() => _schedule.MissedSlotsOf(pseId));

    /// <summary>How long ago an agent that answers last missed a slot; null where none did.</summary>
    public TimeSpan? SinceLastMissed => Locked(() => _schedule.LastMissedAt is { } at ? Elapsed() - at : (TimeSpan?)null);

    /// <summary>Silent agents that are asked rarely because what stands before them is silent too.</summary>
    public int CutOff => Locked(() => _uplinks.CutOff);

    /// <summary>Completes when a first design is followed.</summary>
    public Task Followed => _followed.Task;

    /// <summary>The agents that are polled now.</summary>
    public IReadOnlyDictionary<string, PollTarget> Targets => Volatile.Read(ref _targets);

    /// <summary>Takes the agents of a new design. Agents that stay keep their phase, so that no poll is missed.</summary>
    public void Follow(IReadOnlyDictionary<string, PollTarget> targets)
    {
        lock (_gate)
        {
            Volatile.Write(ref _targets, targets);
            _schedule.Reconcile(targets.ToDictionary(t => t.Key, t => t.Value.Agent.PollPeriod), Elapsed());
            _uplinks.Follow(targets.Select(t => KeyValuePair.Create(t.Key, t.Value.Upstream)));
        }

        foreach (var gone in _outcomes.Keys.Where(id => !targets.ContainsKey(id)))
        {
            _outcomes.TryRemove(gone, out _);
            _findings.TryRemove(gone, out _);
        }

        _reader.Keep(targets);
        _followed.TrySetResult();
        _wake.Set();
    }

    /// <summary>
    /// Asks for a poll of one agent now instead of in its slot: something says that it changed. Requests are gathered: an agent is polled at most once in
    /// <paramref name="gap"/> for them, within the bound of polls in flight.
    /// </summary>
    /// <returns>False where the agent is unknown or polled by then anyway.</returns>
    public bool PollSoon(string pseId, TimeSpan gap)
    {
        var isNew = Locked(() => _schedule.Hasten(pseId, gap, Elapsed()));
        if (isNew)
        {
            _wake.Set();
        }

        return isNew;
    }

    protected override async Task ExecuteAsync(CancellationToken stoppingToken)
    {
        while (!stoppingToken.IsCancellationRequested)
        {
            await _wake.WaitAsync(StartDue(stoppingToken), stoppingToken).ConfigureAwait(false);
        }
    }

    /// <summary>Polls what is due. For a caller that drives time itself and does not start the loop; null where nothing is.</summary>
    internal Task? PollDue(CancellationToken stoppingToken)
    {
        var started = new List<Task>();
        StartDue(stoppingToken, started);
        return started.Count == 0 ? null : Task.WhenAll(started);
    }

    /// <summary>Starts what is due and says how long nothing more is.</summary>
    private TimeSpan StartDue(CancellationToken stoppingToken, List<Task>? started = null)
    {
        lock (_gate)
        {
            while (_inFlight < _options.MaxInFlight && _schedule.TryTake(Elapsed(), out string pseId))
            {
                Interlocked.Increment(ref _inFlight);
                PollTarget target = _targets[pseId];
                Task poll = PollOneAsync(_uplinks.IsCutOff(pseId) ? target with { IsOneRequest = true } : target, stoppingToken);
                started?.Add(poll);
            }

            TimeSpan now = Elapsed();
            _isFull = _inFlight >= _options.MaxInFlight;
            TimeSpan wait = _isFull ? LookAgain : _schedule.UntilNext(now) ?? LookAgain;
            wait = wait < s_beat ? s_beat : wait < LookAgain ? wait : LookAgain;
            _looksAt = now + wait;
            return wait;
        }
    }

    private async Task PollOneAsync(PollTarget target, CancellationToken stoppingToken)
    {
        // The schedule must not run the poll itself inside its lock.
        await Task.Yield();
        long began = _time.GetTimestamp();
        var answered = false;
        try
        {
            using var activity = PollingMetrics.Activities.StartActivity("poll");
            activity?.SetTag("poewatch.pse", target.PseId);
            SwitchReading reading = await ReadInTimeAsync(target, stoppingToken).ConfigureAwait(false);
            answered = IsAnswer(reading.Outcome);
            activity?.SetTag("poewatch.outcome", reading.Outcome.ToString());
            TimeSpan took = _time.GetElapsedTime(began);
            _metrics.Polled(reading.Outcome, took);
            Tell(reading);
            TellFindings(reading);
            TellChanges(reading);
            _sink.Accept(Noted(reading with { Took = took }));
        }
        catch (OperationCanceledException) when (stoppingToken.IsCancellationRequested)
        {
            // Stopping: an unfinished poll leaves no reading.
        }
        catch (Exception bug)
        {
            LogPollFailed(target.PseId, bug);
        }
        finally
        {
            if (IsSoonerAfter(target.PseId, answered))
            {
                _wake.Set();
            }
        }
    }

    /// <summary>Ends a poll; true where something is due before the loop would look.</summary>
    private bool IsSoonerAfter(string pseId, bool answered)
    {
        lock (_gate)
        {
            TimeSpan now = Elapsed();
            _schedule.Complete(pseId, answered, now, _uplinks.IsCutOff(pseId));
            Interlocked.Decrement(ref _inFlight);
            return _isFull || now + _schedule.UntilNext(now) < _looksAt;
        }
    }

    // A refusal is backed off from like a silence, and is as little over while it is not asked again.
    private static bool IsAnswer(PollOutcome outcome) => outcome is PollOutcome.Answered or PollOutcome.Partial or PollOutcome.NoPoe;

    // Tells those behind and before of it, and the reading how long it will have to serve.
    private SwitchReading Noted(SwitchReading reading)
    {
        lock (_gate)
        {
            var isSilent = reading.Outcome == PollOutcome.Silent;
            foreach (var awake in _uplinks.Note(reading.PseId, isSilent))
            {
                _schedule.Hasten(awake, s_wakeGap, Elapsed());
            }

            return !IsAnswer(reading.Outcome) ? reading with { NextWithin = _schedule.StepIfSilent(reading.PseId, _uplinks.IsCutOff(reading.PseId)) } : reading;
        }
    }

    private T Locked<T>(Func<T> read)
    {
        lock (_gate)
        {
            return read();
        }
    }

    private async Task<SwitchReading> ReadInTimeAsync(PollTarget target, CancellationToken stoppingToken)
    {
        using var limit = CancellationTokenSource.CreateLinkedTokenSource(stoppingToken);
        Task<SwitchReading> reading = _reader.ReadAsync(target, limit.Token);
        try
        {
            return await reading.WaitAsync(_options.PollTimeMax, _time, stoppingToken).ConfigureAwait(false);
        }
        catch (TimeoutException)
        {
            // The wait ends whatever the reader does: no agent may hold its own schedule for ever.
            await limit.CancelAsync().ConfigureAwait(false);
            LogGivenUp(target.PseId, _options.PollTimeMax.TotalSeconds);
            var detail = FormattableString.Invariant(
                $"The poll was given up after {_options.PollTimeMax.TotalSeconds:0} s. The agent answers too slowly or too little; see polling.pollTimeMax and polling.timeout.");
            return new SwitchReading(target.PseId, 0, _time.GetUtcNow(), PollOutcome.Silent, detail, null, [], []);
        }
    }

    // One line for each change, none for each poll. That an agent answers from the start is no change.
    private void Tell(SwitchReading reading)
    {
        PollOutcome before = _outcomes.GetValueOrDefault(reading.PseId, PollOutcome.Answered);
        _outcomes[reading.PseId] = reading.Outcome;
        if (before == reading.Outcome)
        {
            return;
        }

        if (reading.Outcome == PollOutcome.Answered)
        {
            LogAnswersAgain(reading.PseId);
        }
        else
        {
            LogAnswersNoMore(reading.PseId, reading.Outcome.Name(), reading.Detail);
        }
    }

    private void TellFindings(SwitchReading reading)
    {
        if (reading.Ports.IsEmpty)
        {
            return;
        }

        if (reading.Findings.IsEmpty && !_findings.ContainsKey(reading.PseId))
        {
            return;
        }

        FindingKey[] now = [.. reading.Findings.Select(f => new FindingKey(f.Kind, f.Group, f.Port))];
        FindingKey[] before = _findings.GetValueOrDefault(reading.PseId, []);
        _findings[reading.PseId] = now;
        foreach (ReadingFinding finding in reading.Findings.Where(f => !before.Contains(new FindingKey(f.Kind, f.Group, f.Port))))
        {
            LogFinding(reading.PseId, finding.Text);
        }

        foreach (FindingKey gone in before.Where(key => !now.Contains(key)))
        {
            LogFindingGone(reading.PseId, gone.Kind.Name(), gone.Port?.ToString() ?? $"group {gone.Group}");
        }
    }

    private void TellChanges(SwitchReading reading)
    {
        foreach (AgentChange change in reading.Changes)
        {
            _metrics.Changed(change.Kind);
            LogChange(reading.PseId, change.Text);
        }

        foreach (PortEvents events in reading.PortEvents)
        {
            _metrics.Happened(events);
            if (events.PowerDenied + (ulong)events.Overload + events.Short > 0)
            {
                LogPortEvents(events.Port, events.Over.TotalSeconds, events.PowerDenied, events.Overload, events.Short);
            }
        }
    }

    private TimeSpan Elapsed() => _time.GetElapsedTime(_start);

    [LoggerMessage(1024, LogLevel.Warning, "{PseId}: {Change}")]
    private partial void LogChange(string pseId, string change);

    [LoggerMessage(1025, LogLevel.Information, "{Port} in {Seconds:0} s: power denied {Denied} times, overload {Overloads}, short circuit {Shorts}.")]
    private partial void LogPortEvents(PsePortRef port, double seconds, uint denied, uint overloads, uint shorts);

    [LoggerMessage(1005, LogLevel.Warning, "{PseId}: {Finding}")]
    private partial void LogFinding(string pseId, string finding);

    [LoggerMessage(1006, LogLevel.Information, "{PseId}: {Finding} of {Place} is over.")]
    private partial void LogFindingGone(string pseId, string finding, string place);

    [LoggerMessage(1003, LogLevel.Information, "{PseId} answers again.")]
    private partial void LogAnswersAgain(string pseId);

    [LoggerMessage(1004, LogLevel.Warning, "{PseId} is {Outcome}: {Detail}")]
    private partial void LogAnswersNoMore(string pseId, string outcome, string detail);

    [LoggerMessage(1002, LogLevel.Warning, "The poll of {PseId} was given up after {Seconds} s.")]
    private partial void LogGivenUp(string pseId, double seconds);

    [LoggerMessage(1001, LogLevel.Error, "The poll of {PseId} ended in a fault of the service itself; it goes on with the next slot.")]
    private partial void LogPollFailed(string pseId, Exception bug);

    // What a finding is about, without its changing figures.
    private readonly record struct FindingKey(FindingKind Kind, int Group, PsePortRef? Port);
}
