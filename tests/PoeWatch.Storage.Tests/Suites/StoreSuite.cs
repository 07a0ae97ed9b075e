using PoeWatch.Domain.Readings;
using PoeWatch.Monitoring.Abstractions;

namespace PoeWatch.Storage.Tests.Suites;

/// <summary>What the behaviour suites share: an empty database for each test.</summary>
public abstract class StoreSuite : IAsyncLifetime
{
    protected static CancellationToken Token => TestContext.Current.CancellationToken;

    protected StoreHarness Harness { get; private set; } = null!;

    public async ValueTask InitializeAsync() => Harness = await NewHarnessAsync();

    public async ValueTask DisposeAsync()
    {
        await Harness.DisposeAsync();
        GC.SuppressFinalize(this);
    }

    protected abstract Task<StoreHarness> NewHarnessAsync();

    protected static async Task<List<SwitchReading>> ReadAllAsync(IHistoryStore store, string pseId) =>
        await store.ReadAsync(pseId, DateTimeOffset.MinValue, DateTimeOffset.MaxValue, Token).ToListAsync(Token);
}
