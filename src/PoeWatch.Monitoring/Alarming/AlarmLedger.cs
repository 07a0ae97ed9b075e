using System.Collections.Immutable;
using Microsoft.Extensions.Logging;
using PoeWatch.Domain.Alarms;
using PoeWatch.Domain.Alarms.Memory;
using PoeWatch.Domain.Assessment;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.Readings;
using PoeWatch.Monitoring.Abstractions;
using PoeWatch.Monitoring.Ingestion;

namespace PoeWatch.Monitoring.Alarming;

/// <summary>
/// The alarm book together with its store. Until the alarms of a former life are read, the book does not move: else a restart would raise
/// again what is known. Owned by the site monitor's loop; only <see cref="Problem"/> and <see cref="Recall"/> are for others.
/// </summary>
public sealed partial class AlarmLedger(IAlarmStore store, StoreGate gate, AlarmTimings timings, TimeProvider time, ILogger<AlarmLedger> log)
{
    // An operator waits for this one, so it is not left to the store's own patience.
    private static readonly TimeSpan OperatorWait = TimeSpan.FromSeconds(5);
    private static readonly TimeSpan SaveAgain = TimeSpan.FromSeconds(1);
    private static readonly TimeSpan PurgePeriod = TimeSpan.FromHours(1);
    private const int UnsavedChangesMax = 100_000;

    private readonly SiteMemory _memory = new();
    private IReadOnlyDictionary<PsePortRef, PortMemory>? _recalled;
    private readonly UnsavedAlarms _unsaved = new(UnsavedChangesMax);
    private AlarmBook _book = AlarmBook.Empty(timings);
    private Task<bool> _saving = Task.FromResult(true);
    private UnsavedBatch? _inSaving;
    private readonly long _startedAt = time.GetTimestamp();
    private long _failedAt;
    private long? _purgedAt;
    private string _problem = "The alarms of the last run are not read yet: the store is not open.";

    /// <summary>Every alarm that is not purged, in order of key.</summary>
    public ImmutableArray<Alarm> Alarms { get; private set; } = [];

    /// <summary>True where an on-delay or an off-delay of an alarm runs.</summary>
    public bool HasDelaysUnderWay => _book.HasDelaysUnderWay;

    /// <summary>Why alarms are not being kept; empty where they are.</summary>
    public string Problem => Volatile.Read(ref _problem);

    private bool IsRestored { get; set; }

    /// <summary>Reads the alarms of a former life, once, as soon as the store is open.</summary>
    public async Task RestoreOnceAsync(CancellationToken cancellationToken)
    {
        if (IsRestored || !gate.IsReady)
        {
            return;
        }

        try
        {
            IReadOnlyList<Alarm> stored = await store.LoadAlarmsAsync(cancellationToken).ConfigureAwait(false);
            _book = AlarmBook.Restore(stored, timings);
            Alarms = [.. _book.Alarms];
            IsRestored = true;
            Volatile.Write(ref _problem, string.Empty);
            LogRestored(stored.Count, _book.ActiveCount);
        }
        catch (StoreException away)
        {
            Volatile.Write(ref _problem, $"The alarms of the last run cannot be read yet: {away.Message}");
        }
    }

    /// <summary>Hands over what the history tells of ports before this life of the service; it is taken at the next step. Thread safe.</summary>
    public void Recall(IReadOnlyDictionary<PsePortRef, PortMemory> older) => Volatile.Write(ref _recalled, older);

    /// <summary>Lets the alarms live one step on.</summary>
    /// <param name="snapshot">The readings that the assessment rests on: what they tell over time is remembered.</param>
    /// <param name="clockStep">How far the machine's clock was stepped since the last call; null where it was not.</param>
    /// <param name="maintenanceOf">Id of the maintenance window that covers a key now, or empty.</param>
    public ImmutableArray<AlarmChange> Apply(
        DateTimeOffset now, DesignModel design, NetworkSnapshot snapshot, SiteAssessment assessment, TimeSpan? clockStep, Func<AlarmKey, string> maintenanceOf)
    {
        var moment = new AlarmMoment(now, time.GetElapsedTime(_startedAt));
        if (clockStep is { } stepped)
        {
            _memory.NoteClockStep(stepped, moment);
        }

        _memory.Note(design, snapshot, assessment, moment);
        if (Interlocked.Exchange(ref _recalled, null) is { } older)
        {
            _memory.Adopt(older);
        }

        if (!IsRestored)
        {
            return [];
        }

        AlarmBookStep step = _book.Apply(
            moment,
            AlarmRules.Evaluate(design, assessment, timings, _memory),
            key => AlarmRules.IsKnown(key, design, assessment, _memory),
            maintenanceOf);
        Take(step.Book, step.ChangedAlarms, step.Changes);
        return step.Changes;
    }

    /// <summary>Sets an operator state; done only once it is kept.</summary>
    public Task<AlarmActionOutcome> SetOperatorStateAsync(
        DateTimeOffset now, AlarmKey key, OperatorState state, string who, string text, AlarmShelf? shelf, CancellationToken cancellationToken) =>
        KeepAsync(_book.SetOperatorState(now, key, state, who, text, shelf), key, who, cancellationToken);

    /// <summary>Adds a person's note; done only once it is kept.</summary>
    public Task<AlarmActionOutcome> AddNoteAsync(DateTimeOffset now, AlarmKey key, string who, string text, CancellationToken cancellationToken) =>
        KeepAsync(_book.AddNote(now, key, who, text), key, who, cancellationToken);

    private async Task<AlarmActionOutcome> KeepAsync(OperatorStep step, AlarmKey key, string who, CancellationToken cancellationToken)
    {
        if (step is not { Outcome: OperatorOutcome.Done, Alarm: { } alarm, Change: { } change })
        {
            return step.Outcome == OperatorOutcome.NotAllowed ? AlarmActionOutcome.NotAllowed : AlarmActionOutcome.NoSuchAlarm;
        }

        using var limit = CancellationTokenSource.CreateLinkedTokenSource(cancellationToken);
        using ITimer timer = time.CreateTimer(_ => limit.Cancel(), null, OperatorWait, Timeout.InfiniteTimeSpan);
        UnsavedBatch? pending = null;
        try
        {
            // What waits goes first and with it: an older state of this alarm must not be written over the operator's word later.
            await FinishSavingAsync().WaitAsync(limit.Token).ConfigureAwait(false);
            pending = _unsaved.TakeAll();
            await store.SaveAlarmsAsync([.. pending.Alarms.Where(a => a.Key != key), alarm], [.. pending.Changes, change], limit.Token).ConfigureAwait(false);
        }
        catch (Exception notKept) when (notKept is StoreException or OperationCanceledException)
        {
            if (pending is not null)
            {
                _unsaved.PutBack(pending);
            }

            LogOperatorStateNotKept(key.Resource, key.Type, who, notKept.Message);
            return AlarmActionOutcome.NotKept;
        }

        Take(step.Book, [], []);
        return AlarmActionOutcome.Done;
    }

    /// <summary>Once an hour takes out what has been cleared for longer than the policy keeps it; where the store is away an hour later.</summary>
    public async Task PurgeAsync(DateTimeOffset now)
    {
        if (!IsRestored || (_purgedAt is { } last && time.GetElapsedTime(last) < PurgePeriod))
        {
            return;
        }

        _purgedAt = time.GetTimestamp();
        AlarmBookStep step = _book.Purge(now);
        if (step.Changes.IsEmpty)
        {
            return;
        }

        using var limit = new CancellationTokenSource();
        using ITimer timer = time.CreateTimer(_ => limit.Cancel(), null, OperatorWait, Timeout.InfiniteTimeSpan);
        try
        {
            // What is being written first: an old state of a purged alarm must not come back behind it.
            await FinishSavingAsync().WaitAsync(limit.Token).ConfigureAwait(false);
            if (_unsaved.IsEmpty)
            {
                await store.PurgeAlarmsAsync(step.Changes, limit.Token).ConfigureAwait(false);
                Take(step.Book, [], []);
                LogPurged(step.Changes.Length, timings.KeepCleared.TotalDays);
            }
        }
        catch (Exception away) when (away is StoreException or OperationCanceledException)
        {
            LogNotPurged(step.Changes.Length, away.Message);
        }
    }

    /// <summary>Begins to write what is not kept yet, unless that is under way.</summary>
    public void StartSaving()
    {
        if (!_saving.IsCompleted)
        {
            return;
        }

        FinishedSaving();
        if (!_unsaved.IsEmpty && (_problem.Length == 0 || time.GetElapsedTime(_failedAt) >= SaveAgain))
        {
            _inSaving = _unsaved.TakeAll();
            _saving = SaveAsync(_inSaving);
        }
    }

    /// <summary>Writes what is left, once, on stopping.</summary>
    public async Task FlushAsync()
    {
        await FinishSavingAsync().ConfigureAwait(false);
        if (!_unsaved.IsEmpty)
        {
            await SaveAsync(_unsaved.TakeAll()).ConfigureAwait(false);
        }
    }

    private async Task FinishSavingAsync()
    {
        await _saving.ConfigureAwait(false);
        FinishedSaving();
    }

    private void FinishedSaving()
    {
        if (_inSaving is { } batch && _saving.IsCompleted)
        {
            _inSaving = null;
            if (!_saving.Result)
            {
                _failedAt = time.GetTimestamp();
                _unsaved.PutBack(batch);
            }
        }
    }

    private async Task<bool> SaveAsync(UnsavedBatch batch)
    {
        try
        {
            await store.SaveAlarmsAsync(batch.Alarms, batch.Changes, CancellationToken.None).ConfigureAwait(false);
            Volatile.Write(ref _problem, string.Empty);
            return true;
        }
        catch (Exception away)
        {
            // Also where the store threw for a bug of its own: whatever it was, the batch has to come back, or an alarm is lost over a restart.
            if (Problem.Length == 0)
            {
                LogNotKept(batch.Changes.Count, away.Message);
            }

            Volatile.Write(ref _problem, $"Alarm changes wait to be kept: {away.Message}");
            return false;
        }
    }

    private void Take(AlarmBook book, IReadOnlyList<Alarm> changed, IReadOnlyList<AlarmChange> changes)
    {
        _book = book;
        Alarms = [.. book.Alarms];
        _unsaved.Add(changed, changes);
    }

    [LoggerMessage(3101, LogLevel.Information, "{Count} alarms of the last run are taken over, {Active} of them active.")]
    private partial void LogRestored(int count, int active);

    [LoggerMessage(3104, LogLevel.Information, "{Count} alarms that were cleared more than {Days} days ago left the list; their changes stay.")]
    private partial void LogPurged(int count, double days);

    [LoggerMessage(3105, LogLevel.Warning, "{Count} alarms that were cleared long ago could not be taken out of the list; it is tried again: {Reason}")]
    private partial void LogNotPurged(int count, string reason);

    [LoggerMessage(3102, LogLevel.Error, "{Changes} alarm changes could not be kept and wait: {Reason}")]
    private partial void LogNotKept(int changes, string reason);

    [LoggerMessage(3103, LogLevel.Error, "What {Who} said of {Resource} {Type} could not be kept and was not done: {Reason}")]
    private partial void LogOperatorStateNotKept(string resource, string type, string who, string reason);
}
