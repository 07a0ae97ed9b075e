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

public sealed class PostgresConditionTests(PostgresServer server) : ConditionStoreSuite
{
    protected override Task<StoreHarness> NewHarnessAsync() => PostgresHarness.NewAsync(server);
}

public sealed class PostgresAgentChangeTests(PostgresServer server) : AgentChangeStoreSuite
{
    protected override Task<StoreHarness> NewHarnessAsync() => PostgresHarness.NewAsync(server);
}

public sealed class PostgresRollupTests(PostgresServer server) : RollupStoreSuite
{
    protected override Task<StoreHarness> NewHarnessAsync() => PostgresHarness.NewAsync(server);
}

public sealed class PostgresSchemaTests(PostgresServer server) : SchemaSuite
{
    protected override Task<StoreHarness> NewHarnessAsync() => PostgresHarness.NewAsync(server);
}

public sealed class PostgresModelTests(PostgresModelServer server) : HistoryModelSuite, IClassFixture<PostgresModelServer>
{
    protected override int Lives => 60;

    protected override Task<StoreHarness> NewHarnessAsync() => PostgresHarness.NewAsync(server);
}

public sealed class PostgresBlockTests(PostgresServer server) : BlockStoreSuite
{
    protected override Task<StoreHarness> NewHarnessAsync() => PostgresHarness.NewAsync(server);
}

public sealed class PostgresSizeTests(PostgresServer server) : StoredSizeSuite
{
    protected override double JournalBytesAtMost => 6.0;

    protected override Task<StoreHarness> NewHarnessAsync() => PostgresHarness.NewAsync(server);
}

public sealed class PostgresSealTests(PostgresServer server) : SealStoreSuite
{
    protected override Task<StoreHarness> NewHarnessAsync() => PostgresHarness.NewAsync(server);
}

public sealed class PostgresAlarmLifeTests(PostgresServer server) : AlarmLifeSuite
{
    protected override Task<StoreHarness> NewHarnessAsync() => PostgresHarness.NewAsync(server);
}

public sealed class PostgresNoticeTests(PostgresServer server) : NoticeStoreSuite
{
    protected override Task<StoreHarness> NewHarnessAsync() => PostgresHarness.NewAsync(server);
}

public sealed class PostgresProofTests(PostgresServer server) : HistoryProofSuite
{
    protected override Task<StoreHarness> NewHarnessAsync() => PostgresHarness.NewAsync(server);
}
