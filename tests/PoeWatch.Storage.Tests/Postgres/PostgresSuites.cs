using PoeWatch.Storage.Tests.Suites;

namespace PoeWatch.Storage.Tests.Postgres;

public sealed class PostgresHistoryTests(PostgresServer server) : HistoryStoreSuite
{
    protected override Task<StoreHarness> NewHarnessAsync() => PostgresHarness.NewAsync(server);
}

public sealed class PostgresAlarmTests(PostgresServer server) : AlarmStoreSuite
{
    protected override Task<StoreHarness> NewHarnessAsync() => PostgresHarness.NewAsync(server);
}

public sealed class PostgresDesignTests(PostgresServer server) : DesignStoreSuite
{
    protected override Task<StoreHarness> NewHarnessAsync() => PostgresHarness.NewAsync(server);
}
