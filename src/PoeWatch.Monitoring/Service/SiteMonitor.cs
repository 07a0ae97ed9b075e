using System.Threading.Channels;
using Microsoft.Extensions.Hosting;
using Microsoft.Extensions.Logging;
using PoeWatch.Domain.Alarms;
using PoeWatch.Domain.Alarms.Maintenance;
using PoeWatch.Domain.Assessment;
using PoeWatch.Domain.Conditions;
using PoeWatch.Domain.Design;
using PoeWatch.Monitoring.Abstractions;
using PoeWatch.Monitoring.Alarming;
using PoeWatch.Monitoring.Balance;
using PoeWatch.Monitoring.Conditions;
using PoeWatch.Monitoring.Ingestion;
using PoeWatch.Monitoring.Polling;
using PoeWatch.Monitoring.Supplies;
using PoeWatch.Monitoring.Telemetry;

namespace PoeWatch.Monitoring.Service;

/// <summary>
/// The loop that holds the network against the design: after readings arrive (and once a second) it assesses, lets the alarms live and
/// publishes a new view. All changes of design and alarms pass through this one loop, so nothing here is locked. Thread safe where public.
/// </summary>
public sealed partial class SiteMonitor : BackgroundService, IAlarmDesk, IMaintenanceDesk
{
    private static readonly TimeSpan Beat = TimeSpan.FromSeconds(1);

    // Many switches answer within the same moments; one assessment serves them all.
    private static readonly TimeSpan GatherTime = TimeSpan.FromMilliseconds(200);

    // A fifth of a core as long as a step takes 2.5 s at most; beyond that what is shown would grow too old, beside periods of a minute.
    private const int RestsPerStep = 4;
    private static readonly TimeSpan RestMax = TimeSpan.FromSeconds(10);

    private readonly NetworkState _state;
    private readonly ConditionBoard _conditions;
    private readonly UpsBoard _upsBoard;
    private readonly SiteViewHolder _view;
    private readonly ReadingKeeper _keeper;
    private readonly AlarmLedger _ledger;
    private readonly MaintenanceBoard _maintenance;
    private readonly BalanceBook _balance;
    private readonly PollLoop _polls;
    private readonly AlarmMetrics _metrics;
    private readonly ClockWatch _clock;
    private readonly TimeProvider _time;
    private readonly ILogger<SiteMonitor> _log;
    private readonly Channel<Func<CancellationToken, Task<Action>>> _requests = Channel.CreateBounded<Func<CancellationToken, Task<Action>>>(64);
    private readonly WakeSignal _wake;
    private readonly WakeSignal _asked;
    private DesignAnalysis _analysis;
    private string _viewProblem = string.Empty;

    public SiteMonitor(
        NetworkState state,
        ConditionBoard conditions,
        UpsBoard upsBoard,
        ReadingIntake intake,
        SiteViewHolder view,
        ReadingKeeper keeper,
        AlarmLedger ledger,
        MaintenanceBoard maintenance,
        BalanceBook balance,
        PollLoop polls,
        AlarmMetrics metrics,
        ClockWatch clock,
        TimeProvider time,
        ILogger<SiteMonitor> log)
    {
        (_state, _conditions, _upsBoard, _view, _keeper, _ledger, _polls) = (state, conditions, upsBoard, view, keeper, ledger, polls);
        (_maintenance, _balance, _metrics, _clock, _time, _log) = (maintenance, balance, metrics, clock, time, log);
        (_wake, _asked) = (new WakeSignal(time), new WakeSignal(time));
        _analysis = DesignAnalysis.Of(view.Current.Design);
        intake.Arrived += _wake.Set;
        keeper.Kept += _wake.Set;
        conditions.Changed += _wake.Set;
        upsBoard.Changed += _wake.Set;
    }

    /// <summary>Why alarms are not being kept; empty where they are.</summary>
    public string AlarmProblem => _ledger.Problem;

    /// <summary>Why the view is not renewed, so that what it shows grows old; empty where it is.</summary>
    public string ViewProblem => Volatile.Read(ref _viewProblem);

    /// <summary>Puts a validated design in force; returns when it is.</summary>
    public async Task UseDesignAsync(DesignModel design, CancellationToken cancellationToken)
    {
        // Solving the new design takes time: it is done here, so that the loop goes on meanwhile with the old one.
        DesignAnalysis analysis = DesignAnalysis.Of(design);
        await InLoopAsync(
            _ =>
            {
                _analysis = analysis;
                _polls.Follow(PollTargets.Of(design));
                return Task.FromResult(true);
            },
            cancellationToken).ConfigureAwait(false);
    }

    /// <summary>Returns when a view is published that rests on all that was known at the call.</summary>
    public Task RenewAsync(CancellationToken cancellationToken) => InLoopAsync(_ => Task.FromResult(true), cancellationToken);

    public Task<AlarmActionOutcome> SetOperatorStateAsync(
        AlarmKey key, OperatorState state, string who, string text, AlarmShelf? shelf, CancellationToken cancellationToken) =>
        InLoopAsync(stop => _ledger.SetOperatorStateAsync(_time.GetUtcNow(), key, state, who, text, shelf, stop), cancellationToken);

    public Task<AlarmActionOutcome> AddNoteAsync(AlarmKey key, string who, string text, CancellationToken cancellationToken) =>
        InLoopAsync(stop => _ledger.AddNoteAsync(_time.GetUtcNow(), key, who, text, stop), cancellationToken);

    public Task<MaintenanceWindow?> AnnounceAsync(
        string scope, DateTimeOffset from, DateTimeOffset to, string who, string reason, CancellationToken cancellationToken) =>
        InLoopAsync(stop => _maintenance.AnnounceAsync(_analysis.Design, scope, from, to, who, reason, stop), cancellationToken);

    public Task<MaintenanceWindow?> EndAsync(string id, string who, CancellationToken cancellationToken) =>
        InLoopAsync(stop => _maintenance.EndAsync(_analysis.Design, id, who, stop), cancellationToken);

    protected override async Task ExecuteAsync(CancellationToken stoppingToken)
    {
        _polls.Follow(PollTargets.Of(_analysis.Design));
        while (!stoppingToken.IsCancellationRequested)
        {
            try
            {
                long began = _time.GetTimestamp();
                await StepAsync(stoppingToken).ConfigureAwait(false);
                Volatile.Write(ref _viewProblem, string.Empty);
                await _asked.WaitAsync(RestAfter(_time.GetElapsedTime(began)), stoppingToken).ConfigureAwait(false);
                await _wake.WaitAsync(Beat, stoppingToken).ConfigureAwait(false);
            }
            catch (OperationCanceledException) when (stoppingToken.IsCancellationRequested)
            {
                // Stopping.
            }
            catch (Exception bug)
            {
                Volatile.Write(ref _viewProblem, $"Holding the site against its design fails, so what is shown grows old: {bug.Message} It is tried again; the log has more.");
                LogAssessmentFailed(bug);
                await Task.Delay(Beat, _time, stoppingToken).ConfigureAwait(ConfigureAwaitOptions.SuppressThrowing);
            }
        }

        await _ledger.FlushAsync().ConfigureAwait(false);
    }

    /// <summary>
    /// How long the loop rests after a step that took so long, unless somebody asks for something: a site of many thousand ports, of which some are read at
    /// any moment, would else be assessed without end and take a whole core.
    /// </summary>
    internal static TimeSpan RestAfter(TimeSpan took) =>
        TimeSpan.FromTicks(Math.Clamp((took * RestsPerStep).Ticks, GatherTime.Ticks, RestMax.Ticks));

    /// <summary>One step of the loop. Apart from the loop only for a caller that drives time itself and does not start it.</summary>
    internal async Task StepAsync(CancellationToken stoppingToken)
    {
        var reports = new List<Action>();
        try
        {
            await ServeRequestsAsync(reports, stoppingToken).ConfigureAwait(false);

            // Windows first: an alarm must not be raised because its window was not read yet.
            if (await _maintenance.RestoreOnceAsync(stoppingToken).ConfigureAwait(false))
            {
                await _ledger.RestoreOnceAsync(stoppingToken).ConfigureAwait(false);
                await _ledger.PurgeAsync(_time.GetUtcNow()).ConfigureAwait(false);
            }

            AssessAndPublish();
        }
        finally
        {
            // Only now: whoever asked for a change must find it in the view.
            reports.ForEach(report => report());
        }
    }

    private void AssessAndPublish()
    {
        TimeSpan? clockStep = _clock.Check();
        long began = _time.GetTimestamp();
        DateTimeOffset now = _time.GetUtcNow();
        DesignModel design = _analysis.Design;
        NetworkSnapshot snapshot = _state.Snapshot(now, PollTargets.Ids(design));
        SiteAssessment assessment = SiteAssessor.Assess(
            _analysis, snapshot, ConditionReckoner.Reckon(design, now, _conditions.Posted, _conditions.Readings), _upsBoard.Readings) with
        {
            Segments = _balance.Note(design, snapshot),
        };
        _metrics.Assessed(_time.GetElapsedTime(began));
        MaintenancePlan maintenance = _maintenance.PlanWith(design);
        foreach (AlarmChange change in _ledger.Apply(now, design, snapshot, assessment, clockStep, maintenance.At(now, design)))
        {
            _metrics.Changed(change.Kind);
            LogAlarm(change.Kind, change.Key.Resource, change.Key.Type, change.Severity, change.Text);
        }

        _ledger.StartSaving();
        _metrics.Show(_ledger.Alarms);
        SiteView old = _view.Current;
        _view.Replace(new SiteView(old.Version + 1, design, snapshot, assessment, _ledger.Alarms, _keeper.KeptSequence)
        {
            Maintenance = maintenance.Windows,
        });
    }

    private async Task<T> InLoopAsync<T>(Func<CancellationToken, Task<T>> work, CancellationToken cancellationToken)
    {
        var done = new TaskCompletionSource<T>(TaskCreationOptions.RunContinuationsAsynchronously);
        await _requests.Writer.WriteAsync(
            async stop =>
            {
                try
                {
                    T result = await work(stop).ConfigureAwait(false);
                    return () => done.TrySetResult(result);
                }
                catch (Exception failed)
                {
                    return () => done.TrySetException(failed);
                }
            },
            cancellationToken).ConfigureAwait(false);
        _asked.Set();
        _wake.Set();
        return await done.Task.WaitAsync(cancellationToken).ConfigureAwait(false);
    }

    private async Task ServeRequestsAsync(List<Action> reports, CancellationToken stoppingToken)
    {
        while (_requests.Reader.TryRead(out Func<CancellationToken, Task<Action>>? request))
        {
            reports.Add(await request(stoppingToken).ConfigureAwait(false));
        }
    }

    [LoggerMessage(3001, LogLevel.Error, "Holding the site against its design ended in a fault of the service itself; it is tried again.")]
    private partial void LogAssessmentFailed(Exception bug);

    [LoggerMessage(3002, LogLevel.Information, "Alarm {Kind}: {Resource} {Type}, {Severity}. {Text}")]
    private partial void LogAlarm(string kind, string resource, string type, AlarmSeverity severity, string text);
}
