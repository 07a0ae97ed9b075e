using PoeWatch.Storage.Sqlite;
using PoeWatch.Storage.Tests.Suites;

namespace PoeWatch.Storage.Tests.Sqlite;

/// <summary>The disk has room for N more pages and no more, until there is room again.</summary>
public sealed class SqliteInjectionTests : InjectionSuite
{
    private const long Plenty = 1_000_000;

    private bool _isSpent;

    protected override int FailuresAtLeast => 8;

    protected override bool IsSpent => _isSpent;

    protected override int After(int chance) => chance + 1;

    protected override Task<StoreHarness> NewHarnessAsync() => Task.FromResult<StoreHarness>(new SqliteHarness());

    protected override async Task<OpenStore> OpenBreakingAsync(int chance)
    {
        // Pages that are free already would be taken first.
        await Harness.ExecuteAsync("VACUUM");
        var store = await Harness.OpenAsync();
        _isSpent = false;
        await LimitAsync(store, chance == int.MaxValue ? Plenty : await PagesAsync(store) + chance - 1);
        return store;
    }

    // What comes now only reads.
    protected override void Disarm()
    {
    }

    protected override Task MendAsync(OpenStore store)
    {
        _isSpent = true;
        return LimitAsync(store, Plenty);
    }

    private static Task<long> PagesAsync(OpenStore store) => PragmaAsync(store, "page_count");

    private static Task LimitAsync(OpenStore store, long pages) => PragmaAsync(store, $"max_page_count = {pages}");

    private static Task<long> PragmaAsync(OpenStore store, string pragma) => ((SqliteStore)store.Owner).WriteAsync(
        (connection, _) =>
        {
            using var command = connection.CreateCommand();
            command.CommandText = $"PRAGMA {pragma}";
            return (long)command.ExecuteScalar()!;
        },
        Token);
}
