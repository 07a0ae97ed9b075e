using System.Runtime.CompilerServices;
using PoeWatch.Domain.Alarms;
using PoeWatch.Domain.Readings;
using PoeWatch.Domain.Readings.Changes;
using PoeWatch.Monitoring.Abstractions;

namespace PoeWatch.Api.Tests.Fakes;

/// <summary>The picture that a test sets, and the wait for a newer one.</summary>
internal sealed class FakeSite(SiteView first) : ISiteView
{
    private readonly Lock _gate = new();
    private SiteView _view = first;
    private TaskCompletionSource _changed = new(TaskCreationOptions.RunContinuationsAsynchronously);

    public SiteView Current
    {
        get
        {
            lock (_gate)
            {
                return _view;
            }
        }
    }

    public void Show(SiteView view)
    {
        TaskCompletionSource changed;
        lock (_gate)
        {
            _view = view;
            (changed, _changed) = (_changed, new TaskCompletionSource(TaskCreationOptions.RunContinuationsAsynchronously));
        }

        changed.SetResult();
    }

    public async Task<SiteView> WaitForNewerAsync(long version, CancellationToken cancellationToken)
    {
        while (true)
        {
            Task changed;
            lock (_gate)
            {
                if (_view.Version > version)
                {
                    return _view;
                }

                changed = _changed.Task;
            }

            await changed.WaitAsync(cancellationToken);
        }
    }
}

/// <summary>Notes what operators asked for and answers what the test wants.</summary>
internal sealed class FakeAlarmDesk(FakeSite site) : IAlarmDesk
{
    public AlarmActionOutcome Answer { get; set; } = AlarmActionOutcome.Done;

    public List<(AlarmKey Key, OperatorState State, string Who, string Text)> Asked { get; } = [];

    public Task<AlarmActionOutcome> SetOperatorStateAsync(
        AlarmKey key, OperatorState state, string who, string text, AlarmShelf? shelf, CancellationToken cancellationToken)
    {
        Asked.Add((key, state, who, text));
        Shelves.Add(shelf);
        if (Answer == AlarmActionOutcome.Done)
        {
            var view = site.Current;
            site.Show(view with
            {
                Version = view.Version + 1,
                Alarms = [.. view.Alarms.Select(a => a.Key == key ? a with { OperatorState = state, OperatorName = who, OperatorText = text, Shelf = shelf } : a)],
            });
        }

        return Task.FromResult(Answer);
    }

    public List<AlarmShelf?> Shelves { get; } = [];

    public List<(AlarmKey Key, string Who, string Text)> Notes { get; } = [];

    public Task<AlarmActionOutcome> AddNoteAsync(AlarmKey key, string who, string text, CancellationToken cancellationToken)
    {
        Notes.Add((key, who, text));
        return Task.FromResult(Answer);
    }
}

/// <summary>Takes or refuses designs as the test wants.</summary>
internal sealed class FakeDesignDesk : IDesignDesk
{
    public DesignApplyResult Answer { get; set; } = new(true, "new-hash", []);

    public List<(string Text, string Who)> Applied { get; } = [];

    public Task<DesignApplyResult> ApplyAsync(string designText, string who, CancellationToken cancellationToken)
    {
        Applied.Add((designText, who));
        return Task.FromResult(Answer);
    }

    public Task<DesignApplyResult> ReloadAsync(string who, CancellationToken cancellationToken)
    {
        Applied.Add(("(file)", who));
        return Task.FromResult(Answer);
    }
}

/// <summary>No design of the past can be read.</summary>
internal sealed class FakeDesignSource : IDesignSource
{
    public DesignReading Read() => new(null, [], string.Empty);

    public DesignReading Parse(string text, string name) => new(null, [], text);
}

/// <summary>All stores in memory; fails with <see cref="Failure"/> where one is set.</summary>
internal sealed class FakeStores : IHistoryStore, IAlarmStore, IDesignStore, IAgentChangeStore
{
    public StoreException? Failure { get; set; }

    public List<SwitchReading> Readings { get; } = [];

    public List<AlarmChange> Changes { get; } = [];

    public List<DesignVersion> Designs { get; } = [];

    public List<AgentChangeNote> AgentChanges { get; } = [];

    public Task PrepareAsync(CancellationToken cancellationToken) => Task.CompletedTask;

    public Task AppendAsync(IReadOnlyList<SwitchReading> readings, CancellationToken cancellationToken)
    {
        Readings.AddRange(readings);
        return Task.CompletedTask;
    }

    public async IAsyncEnumerable<SwitchReading> ReadAsync(
        string pseId, DateTimeOffset from, DateTimeOffset to, [EnumeratorCancellation] CancellationToken cancellationToken)
    {
        FailWhereSet();
        foreach (var reading in Readings.Where(r => r.PseId == pseId && r.At >= from && r.At < to).OrderBy(r => r.At).ToList())
        {
            cancellationToken.ThrowIfCancellationRequested();
            yield return reading;
        }

        await Task.CompletedTask;
    }

    public Task<IReadOnlyList<SwitchReading>> ReadLatestAsync(CancellationToken cancellationToken) =>
        Task.FromResult<IReadOnlyList<SwitchReading>>([]);

    public Task<IReadOnlyList<Alarm>> LoadAlarmsAsync(CancellationToken cancellationToken) => Task.FromResult<IReadOnlyList<Alarm>>([]);

    public Task SaveAlarmsAsync(IReadOnlyList<Alarm> alarms, IReadOnlyList<AlarmChange> changes, CancellationToken cancellationToken) =>
        Task.CompletedTask;

    public Task PurgeAlarmsAsync(IReadOnlyList<AlarmChange> purged, CancellationToken cancellationToken) => throw new NotSupportedException();

    public Task<IReadOnlyList<AlarmChange>> ReadAlarmChangesAsync(
        DateTimeOffset from, DateTimeOffset to, AlarmKey? key, CancellationToken cancellationToken)
    {
        FailWhereSet();
        return Task.FromResult<IReadOnlyList<AlarmChange>>(
            [.. Changes.Where(c => c.At >= from && c.At < to && (key is null || c.Key == key)).OrderBy(c => c.At)]);
    }

    public Task SaveDesignAsync(DesignVersion version, CancellationToken cancellationToken)
    {
        Designs.Add(version);
        return Task.CompletedTask;
    }

    public Task<IReadOnlyList<DesignVersion>> ReadDesignsAsync(CancellationToken cancellationToken)
    {
        FailWhereSet();
        return Task.FromResult<IReadOnlyList<DesignVersion>>([.. Designs]);
    }

    public Task SaveAgentChangesAsync(IReadOnlyList<AgentChangeNote> changes, CancellationToken cancellationToken)
    {
        AgentChanges.AddRange(changes);
        return Task.CompletedTask;
    }

    public Task<IReadOnlyList<AgentChangeNote>> ReadAgentChangesAsync(
        DateTimeOffset from, DateTimeOffset to, string? pseId, CancellationToken cancellationToken)
    {
        FailWhereSet();
        return Task.FromResult<IReadOnlyList<AgentChangeNote>>([.. AgentChanges.Where(c => c.At >= from && c.At < to && (pseId is null || c.PseId == pseId))]);
    }

    private void FailWhereSet()
    {
        if (Failure is { } failure)
        {
            throw failure;
        }
    }
}

/// <summary>Missed slots as the test sets them.</summary>
internal sealed class FakePolls : IPollCounts
{
    public Dictionary<string, long> Missed { get; } = [];

    public long MissedSlotsOf(string pseId) => Missed.GetValueOrDefault(pseId);
}

/// <summary>Health as the test sets it.</summary>
internal sealed class FakeHealth : IServiceHealth
{
    public ServiceHealth Current { get; set; } = new(
        Harbour.Now.AddHours(-5), "0.1.0",
        [new PartHealth("polling", "good", "1 of 1 agents answer."), new PartHealth("history", "good", "Readings are kept.")],
        3, 100_000, 0);
}
