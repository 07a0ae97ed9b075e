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

    /// <summary>Bytes on disk of the journal, with its index.</summary>
    public abstract Task<long> JournalBytesAsync();

    /// <summary>Bytes on disk of blocks, with their index, and of interface names; the journal is empty.</summary>
    public abstract Task<long> BlockBytesAsync();

    /// <summary>All payloads of polls, in time order.</summary>
    public abstract Task<IReadOnlyList<byte[]>> PayloadsAsync();

    /// <summary>Replaces the payload of every poll.</summary>
    public abstract Task ReplacePayloadsAsync(byte[] payload);

    /// <summary>Replaces the payload of every block.</summary>
    public abstract Task ReplaceBlocksAsync(byte[] payload);

    /// <summary>
    /// From now on a transaction fails in its middle: on the insertion that finds so many rows in the journal, or on the deletion that leaves so few. Until
    /// <see cref="MendAsync"/>.
    /// </summary>
    public abstract Task BreakAsync(int insertsAt, int deletesAt);

    public abstract Task MendAsync();

    /// <summary>Takes all readings out; no store is open. Much quicker than a new database.</summary>
    public abstract Task EmptyAsync();

    public abstract ValueTask DisposeAsync();
}

/// <summary>The seams of one opened store.</summary>
public sealed record OpenStore(IHistoryStore History, IAlarmStore Alarms, IDesignStore Designs, IConditionStore Conditions, IAgentChangeStore AgentChanges, IAsyncDisposable Owner) : IAsyncDisposable
{
    public IPortHistory Ports => (IPortHistory)Owner;

    public IHistoryUpkeep Upkeep => (IHistoryUpkeep)Owner;

    public IRollupStore Rollups => (IRollupStore)Owner;

    public ValueTask DisposeAsync() => Owner.DisposeAsync();
}
