using System.Runtime.CompilerServices;
using PoeWatch.Domain.Alarms;
using PoeWatch.Domain.Alarms.Maintenance;
using PoeWatch.Domain.Conditions;
using PoeWatch.Domain.Readings;
using PoeWatch.Domain.Readings.Changes;
using PoeWatch.Monitoring.Abstractions;

namespace PoeWatch.TestKit.Stores;

/// <summary>
/// A store in memory that fails on demand: set <see cref="Failure"/> and every call throws it until it is taken away. Thread safe.
/// </summary>
public sealed partial class MemoryStore : IHistoryStore, IAlarmStore, IDesignStore, IConditionStore, IMaintenanceStore, IAgentChangeStore
{
    private readonly Lock _gate = new();
    private readonly List<SwitchReading> _readings = [];
    private readonly Dictionary<AlarmKey, Alarm> _alarms = [];
    private readonly List<AlarmChange> _changes = [];
    private readonly List<DesignVersion> _designs = [];
    private readonly List<PostedCondition> _posted = [];
    private readonly List<AgentChangeNote> _agentChanges = [];
    private readonly Dictionary<string, MaintenanceWindow> _windows = [];

    /// <summary>What every call throws; null where the store is well.</summary>
    public Exception? Failure { get; set; }

    /// <summary>True where only readings cannot be appended.</summary>
    public bool FailsAppend { get; set; }

    /// <summary>Appending waits for it; null where the store is quick.</summary>
    public TaskCompletionSource? Held { get; set; }

    /// <summary>Batches appended so far.</summary>
    public int Appends { get; private set; }

    public IReadOnlyList<SwitchReading> Readings => Locked(() => _readings.ToArray());

    public IReadOnlyList<AlarmChange> Changes => Locked(() => _changes.ToArray());

    public IReadOnlyList<Alarm> Alarms => Locked(() => _alarms.Values.ToArray());

    /// <summary>Forgets the readings.</summary>
    public void Clear() => Locked(() =>
    {
        _readings.Clear();
        return true;
    });

    public static StoreException Away(string message = "the store is away") => new(message, isTransient: true, new IOException(message));

    public Task PrepareAsync(CancellationToken cancellationToken) => Do(() => { });

    public async Task AppendAsync(IReadOnlyList<SwitchReading> readings, CancellationToken cancellationToken)
    {
        if (FailsAppend)
        {
            throw Away();
        }

        if (Held is { } held)
        {
            await held.Task.WaitAsync(cancellationToken);
        }

        await Do(() =>
        {
            Appends++;
            _readings.AddRange(readings.Where(r => !_readings.Any(k => k.PseId == r.PseId && k.At == r.At)));
        });
    }

    public async IAsyncEnumerable<SwitchReading> ReadAsync(
        string pseId, DateTimeOffset from, DateTimeOffset to, [EnumeratorCancellation] CancellationToken cancellationToken)
    {
        foreach (SwitchReading reading in Readings.Where(r => r.PseId == pseId && r.At >= from && r.At < to).OrderBy(r => r.At))
        {
            await Task.Yield();
            cancellationToken.ThrowIfCancellationRequested();
            yield return reading;
        }
    }

    public Task<IReadOnlyList<SwitchReading>> ReadLatestAsync(CancellationToken cancellationToken) =>
        Do<IReadOnlyList<SwitchReading>>(() => [.. _readings.GroupBy(r => r.PseId).Select(g => g.OrderBy(r => r.At).Last())]);

    public Task<IReadOnlyList<Alarm>> LoadAlarmsAsync(CancellationToken cancellationToken) => Do<IReadOnlyList<Alarm>>(() => [.. _alarms.Values]);

    public Task SaveAlarmsAsync(IReadOnlyList<Alarm> alarms, IReadOnlyList<AlarmChange> changes, CancellationToken cancellationToken) => Do(() =>
    {
        foreach (Alarm alarm in alarms)
        {
            _alarms[alarm.Key] = alarm;
        }

        _changes.AddRange(changes);
    });

    public Task PurgeAlarmsAsync(IReadOnlyList<AlarmChange> purged, CancellationToken cancellationToken) => Do(() =>
    {
        foreach (AlarmChange change in purged)
        {
            _alarms.Remove(change.Key);
        }

        _changes.AddRange(purged);
    });

    public Task SaveWindowAsync(MaintenanceWindow window, CancellationToken cancellationToken) => Do(() => _windows[window.Id] = window);

    public Task<IReadOnlyList<MaintenanceWindow>> ReadWindowsAsync(DateTimeOffset endingFrom, CancellationToken cancellationToken) =>
        Do<IReadOnlyList<MaintenanceWindow>>(() => [.. _windows.Values.Where(w => w.To >= endingFrom).OrderBy(w => w.From).ThenBy(w => w.Id, StringComparer.Ordinal)]);

    public Task<IReadOnlyList<AlarmChange>> ReadAlarmChangesAsync(
        DateTimeOffset from, DateTimeOffset to, AlarmKey? key, CancellationToken cancellationToken) =>
        Do<IReadOnlyList<AlarmChange>>(() => [.. _changes.Where(c => c.At >= from && c.At < to && (key is null || c.Key == key))]);

    public Task SaveDesignAsync(DesignVersion version, CancellationToken cancellationToken) => Do(() =>
    {
        if (_designs.Count == 0 || _designs[^1].Hash != version.Hash)
        {
            _designs.Add(version);
        }
    });

    public Task<IReadOnlyList<DesignVersion>> ReadDesignsAsync(CancellationToken cancellationToken) => Do<IReadOnlyList<DesignVersion>>(() => [.. _designs]);

    public Task SavePostedAsync(PostedCondition word, CancellationToken cancellationToken) => Do(() => _posted.Add(word));

    public Task<IReadOnlyList<PostedCondition>> ReadNewestPostedAsync(CancellationToken cancellationToken) =>
        Do<IReadOnlyList<PostedCondition>>(() => [.. PostedCondition.Newest(_posted).Values]);

    public Task<IReadOnlyList<PostedCondition>> ReadPostedAsync(DateTimeOffset from, DateTimeOffset to, CancellationToken cancellationToken) =>
        Do<IReadOnlyList<PostedCondition>>(() => [.. _posted.Where(word => word.At >= from && word.At < to)]);

    public Task SaveAgentChangesAsync(IReadOnlyList<AgentChangeNote> changes, CancellationToken cancellationToken) =>
        Do(() => _agentChanges.AddRange(changes.Where(change => !_agentChanges.Contains(change))));

    public Task<IReadOnlyList<AgentChangeNote>> ReadAgentChangesAsync(
        DateTimeOffset from, DateTimeOffset to, string? pseId, CancellationToken cancellationToken) =>
        Do<IReadOnlyList<AgentChangeNote>>(() => [.. _agentChanges.Where(c => c.At >= from && c.At < to && (pseId is null || c.PseId == pseId)).OrderBy(c => c.At)]);

    private Task Do(Action work) => Do(() =>
    {
        work();
        return true;
    });

    private Task<T> Do<T>(Func<T> work)
    {
        lock (_gate)
        {
            return Failure is { } failure ? Task.FromException<T>(failure) : Task.FromResult(work());
        }
    }

    private T Locked<T>(Func<T> work)
    {
        lock (_gate)
        {
            return work();
        }
    }
}
