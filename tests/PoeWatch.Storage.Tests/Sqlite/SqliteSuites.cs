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

public sealed class SqliteConditionTests : ConditionStoreSuite
{
    protected override Task<StoreHarness> NewHarnessAsync() => Task.FromResult<StoreHarness>(new SqliteHarness());
}

public sealed class SqliteAgentChangeTests : AgentChangeStoreSuite
{
    protected override Task<StoreHarness> NewHarnessAsync() => Task.FromResult<StoreHarness>(new SqliteHarness());
}

public sealed class SqliteRollupTests : RollupStoreSuite
{
    protected override Task<StoreHarness> NewHarnessAsync() => Task.FromResult<StoreHarness>(new SqliteHarness());
}

public sealed class SqliteSchemaTests : SchemaSuite
{
    protected override Task<StoreHarness> NewHarnessAsync() => Task.FromResult<StoreHarness>(new SqliteHarness());
}

public sealed class SqliteModelTests : HistoryModelSuite
{
    protected override int Lives => 150;

    protected override Task<StoreHarness> NewHarnessAsync() => Task.FromResult<StoreHarness>(new SqliteHarness());
}

public sealed class SqliteBlockTests : BlockStoreSuite
{
    protected override Task<StoreHarness> NewHarnessAsync() => Task.FromResult<StoreHarness>(new SqliteHarness());
}

public sealed class SqliteSizeTests : StoredSizeSuite
{
    protected override double JournalBytesAtMost => 6.0;

    protected override Task<StoreHarness> NewHarnessAsync() => Task.FromResult<StoreHarness>(new SqliteHarness());
}

public sealed class SqliteSealTests : SealStoreSuite
{
    protected override Task<StoreHarness> NewHarnessAsync() => Task.FromResult<StoreHarness>(new SqliteHarness());
}

public sealed class SqliteAlarmLifeTests : AlarmLifeSuite
{
    protected override Task<StoreHarness> NewHarnessAsync() => Task.FromResult<StoreHarness>(new SqliteHarness());
}

public sealed class SqliteNoticeTests : NoticeStoreSuite
{
    protected override Task<StoreHarness> NewHarnessAsync() => Task.FromResult<StoreHarness>(new SqliteHarness());
}

public sealed class SqliteProofTests : HistoryProofSuite
{
    protected override Task<StoreHarness> NewHarnessAsync() => Task.FromResult<StoreHarness>(new SqliteHarness());
}
