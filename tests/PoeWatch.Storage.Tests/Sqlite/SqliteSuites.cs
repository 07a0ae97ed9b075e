using PoeWatch.Storage.Tests.Suites;

namespace PoeWatch.Storage.Tests.Sqlite;

public sealed class SqliteHistoryTests : HistoryStoreSuite
{
    protected override Task<StoreHarness> NewHarnessAsync() => Task.FromResult<StoreHarness>(new SqliteHarness());
}

public sealed class SqliteAlarmTests : AlarmStoreSuite
{
    protected override Task<StoreHarness> NewHarnessAsync() => Task.FromResult<StoreHarness>(new SqliteHarness());
}

public sealed class SqliteDesignTests : DesignStoreSuite
{
    protected override Task<StoreHarness> NewHarnessAsync() => Task.FromResult<StoreHarness>(new SqliteHarness());
}
