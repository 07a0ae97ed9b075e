using Microsoft.Extensions.Logging.Abstractions;
using Npgsql;
using PoeWatch.Storage.Postgres;
using PoeWatch.Storage.Tests.Suites;

namespace PoeWatch.Storage.Tests.Postgres;

/// <summary>The connections are cut at the Nth piece of the conversation, before a request arrives or before its answer does, in the middle of transactions too.</summary>
public sealed class PostgresInjectionTests(PostgresServer server) : InjectionSuite, IAsyncDisposable
{
    private CuttingRelay? _relay;

    protected override int FailuresAtLeast => 12;

    protected override bool IsSpent => _relay!.HasCut;

    // There are some hundreds.
    protected override int After(int chance) => chance + 1 + (chance / 4);

    protected override Task<StoreHarness> NewHarnessAsync() => PostgresHarness.NewAsync(server);

    protected override async Task<OpenStore> OpenBreakingAsync(int chance)
    {
        var parts = new NpgsqlConnectionStringBuilder(((PostgresHarness)Harness).ConnectionString);
        if (_relay is not null)
        {
            await _relay.DisposeAsync();
        }

        _relay = new CuttingRelay(parts.Host!, parts.Port);
        _relay.CutAt(chance);
        (parts.Host, parts.Port, parts.Pooling) = ("127.0.0.1", _relay.Port, true);
        var store = new PostgresStore(new PostgresStoreOptions(parts.ConnectionString), NullLogger<PostgresStore>.Instance);
        return new OpenStore(store, store, store, store, store, store);
    }

    protected override void Disarm() => _relay!.CutAt(int.MaxValue);

    // A connection that was cut is noticed and made anew by the store itself.
    protected override Task MendAsync(OpenStore store) => Task.CompletedTask;

    public new async ValueTask DisposeAsync()
    {
        if (_relay is not null)
        {
            await _relay.DisposeAsync();
        }

        await base.DisposeAsync();
    }
}
