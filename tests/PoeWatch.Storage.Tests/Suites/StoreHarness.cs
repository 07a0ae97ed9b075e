using PoeWatch.Monitoring.Abstractions;

namespace PoeWatch.Storage.Tests.Suites;

/// <summary>One empty database of one kind, and what a suite has to do to it from outside.</summary>
public abstract class StoreHarness : IAsyncDisposable
{
    /// <summary>A store over the database, prepared. Only one at a time is open.</summary>
    public async Task<OpenStore> OpenAsync()
    {
        var store = NewStore();
        await store.History.PrepareAsync(TestContext.Current.CancellationToken);
        return store;
    }

    /// <summary>A store over the database, not yet prepared.</summary>
    public abstract OpenStore NewStore();

    /// <summary>Runs a statement that both databases understand, around the store.</summary>
    public abstract Task ExecuteAsync(string sql);

    /// <summary>Number of rows of a table.</summary>
    public abstract Task<long> CountAsync(string table);

    /// <summary>Bytes on disk of polls with their index and of interface names.</summary>
    public abstract Task<long> StoredBytesAsync();

    /// <summary>All payloads of polls, in time order.</summary>
    public abstract Task<IReadOnlyList<byte[]>> PayloadsAsync();

    /// <summary>Replaces the payload of every poll.</summary>
    public abstract Task ReplacePayloadsAsync(byte[] payload);

    public abstract ValueTask DisposeAsync();
}

/// <summary>The seams of one opened store.</summary>
public sealed record OpenStore(IHistoryStore History, IAlarmStore Alarms, IDesignStore Designs, IConditionStore Conditions, IAgentChangeStore AgentChanges, IAsyncDisposable Owner) : IAsyncDisposable
{
    public ValueTask DisposeAsync() => Owner.DisposeAsync();
}
