using Microsoft.Extensions.Logging;
using Microsoft.Extensions.Logging.Abstractions;
using Npgsql;
using PoeWatch.Monitoring.Abstractions;
using PoeWatch.Storage.Postgres;

namespace PoeWatch.Storage.Tests.Postgres;

/// <summary>What can be wrong with a database while its server runs.</summary>
public sealed class PostgresBadDayTests(PostgresServer server) : IAsyncLifetime
{
    private string _database = "";

    private static CancellationToken Token => TestContext.Current.CancellationToken;

    public async ValueTask InitializeAsync() => _database = await server.NewDatabaseAsync();

    public async ValueTask DisposeAsync() => await server.DropDatabaseAsync(_database);

    [Fact]
    public async Task Connections_cut_by_the_server_cost_one_call_and_no_reading()
    {
        await using var store = await PreparedAsync(_database);
        await store.AppendAsync([SampleReadings.Numbered("quay-west", 1)], Token);
        await server.ExecuteAsync($"SELECT pg_terminate_backend(pid) FROM pg_stat_activity WHERE datname = '{Name(_database)}'");

        var failures = 0;
        while (await TryAppendAsync(store, 2) is { } error)
        {
            Assert.True(error.IsTransient, error.Message);
            Assert.InRange(++failures, 1, 5);
        }

        ReadingAssert.Equal(
            [SampleReadings.Numbered("quay-west", 1), SampleReadings.Numbered("quay-west", 2)], await ReadAllAsync(store));
    }

    [Fact]
    public async Task A_second_service_is_kept_away_until_the_first_is_gone()
    {
        await using var second = NewStore(_database);
        await using (var first = await PreparedAsync(_database))
        {
            var error = await Assert.ThrowsAsync<StoreException>(() => second.PrepareAsync(Token));

            Assert.Contains("Another PoeWatch service", error.Message, StringComparison.Ordinal);
            Assert.Contains("Another PoeWatch service", (await TryAppendAsync(second, 1))?.Message, StringComparison.Ordinal);
            Assert.Null(await TryAppendAsync(first, 1));
        }

        await second.PrepareAsync(Token);
        Assert.Null(await TryAppendAsync(second, 2));
    }

    [Fact]
    public async Task A_corrected_password_is_read_again()
    {
        await using (await PreparedAsync(_database))
        {
        }

        var user = $"{Name(_database)}_owner";
        await server.ExecuteAsync($"CREATE ROLE {user} SUPERUSER LOGIN PASSWORD 'right'");
        try
        {
            var parts = new NpgsqlConnectionStringBuilder(_database) { Username = user, Password = "wrong" };
            await using var store = new PostgresStore(
                new PostgresStoreOptions(parts.ConnectionString, () => parts.ConnectionString), NullLogger<PostgresStore>.Instance);
            await Assert.ThrowsAsync<StoreException>(() => store.PrepareAsync(Token));

            parts.Password = "right";
            await store.PrepareAsync(Token);
        }
        finally
        {
            await server.ExecuteAsync($"DROP ROLE {user}");
        }
    }

    [Fact]
    public async Task A_wrong_password_is_refused_without_showing_it()
    {
        var wrong = new NpgsqlConnectionStringBuilder(_database) { Password = "harbour-wall-9" }.ConnectionString;
        await using var store = NewStore(wrong);

        var error = await Assert.ThrowsAsync<StoreException>(() => store.PrepareAsync(Token));

        Assert.False(error.IsTransient);
        Assert.Contains("password", error.Message, StringComparison.Ordinal);
        Assert.DoesNotContain("harbour-wall-9", error.ToString(), StringComparison.Ordinal);
        Assert.DoesNotContain("harbour-wall-9", new PostgresStoreOptions(wrong).ToString(), StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_database_that_does_not_exist_is_named_with_the_remedy()
    {
        await using var store = NewStore(new NpgsqlConnectionStringBuilder(_database) { Database = "nowhere" }.ConnectionString);

        var error = await Assert.ThrowsAsync<StoreException>(() => store.PrepareAsync(Token));

        Assert.False(error.IsTransient);
        Assert.Contains("'nowhere'", error.Message, StringComparison.Ordinal);
        Assert.Contains("CREATE DATABASE", error.Message, StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_user_without_rights_is_told_which_it_needs()
    {
        var user = $"{Name(_database)}_reader";
        await server.ExecuteAsync($"CREATE ROLE {user} LOGIN PASSWORD 'pw'");
        try
        {
            await ExecuteAsync(_database, "REVOKE CREATE ON SCHEMA public FROM PUBLIC");
            await using var store = NewStore(new NpgsqlConnectionStringBuilder(_database) { Username = user, Password = "pw" }.ConnectionString);

            var error = await Assert.ThrowsAsync<StoreException>(() => store.PrepareAsync(Token));

            Assert.False(error.IsTransient);
            Assert.Contains("grant", error.Message, StringComparison.Ordinal);
        }
        finally
        {
            await server.ExecuteAsync($"DROP ROLE {user}");
        }
    }

    // A trigger raises what a full disk raises, in the middle of a batch.
    [Fact]
    public async Task A_full_disk_is_said_so_writes_nothing_and_passes_when_there_is_room()
    {
        await using var store = await PreparedAsync(_database);
        await ExecuteAsync(
            _database,
            """
            CREATE FUNCTION full_disk() RETURNS trigger LANGUAGE plpgsql AS
            $$ BEGIN RAISE EXCEPTION 'could not extend file' USING ERRCODE = 'disk_full'; END $$;
            CREATE TRIGGER full_disk BEFORE INSERT ON poll FOR EACH ROW WHEN (NEW.at > '2026-03-01T06:00:01Z') EXECUTE FUNCTION full_disk()
            """);

        var error = await Assert.ThrowsAsync<StoreException>(
            () => store.AppendAsync([SampleReadings.Numbered("quay-west", 1), SampleReadings.Numbered("quay-west", 2)], Token));

        Assert.True(error.IsTransient);
        Assert.Contains("full disk", error.Message, StringComparison.Ordinal);
        Assert.Empty(await ReadAllAsync(store));
        await ExecuteAsync(_database, "DROP TRIGGER full_disk ON poll");
        Assert.Null(await TryAppendAsync(store, 2));
    }

    [Fact]
    public async Task A_database_that_is_read_only_for_a_while_is_worth_a_retry()
    {
        await using var store = await PreparedAsync(_database + ";Pooling=false");
        await server.ExecuteAsync($"ALTER DATABASE {Name(_database)} SET default_transaction_read_only = on");

        var error = await TryAppendAsync(store, 1);

        Assert.True(error?.IsTransient);
        Assert.Contains("read-only", error!.Message, StringComparison.Ordinal);
        await server.ExecuteAsync($"ALTER DATABASE {Name(_database)} RESET default_transaction_read_only");
        Assert.Null(await TryAppendAsync(store, 1));
    }

    [Fact]
    public async Task Numbers_of_a_restored_backup_are_asked_for_again()
    {
        await using var store = await PreparedAsync(_database);
        await store.AppendAsync([SampleReadings.Numbered("quay-west", 1), SampleReadings.Numbered("mole-head", 1)], Token);
        await ExecuteAsync(_database, "TRUNCATE poll, pse RESTART IDENTITY CASCADE; INSERT INTO pse (name) VALUES ('other')");

        var error = await Assert.ThrowsAsync<StoreException>(() => store.AppendAsync([SampleReadings.Numbered("mole-head", 2)], Token));
        Assert.True(error.IsTransient);
        await store.AppendAsync([SampleReadings.Numbered("mole-head", 2)], Token);

        ReadingAssert.Equal([SampleReadings.Numbered("mole-head", 2)], await store.ReadLatestAsync(Token));
    }

    [Fact]
    public async Task Of_several_services_that_start_at_once_on_one_empty_database_one_gets_it()
    {
        var stores = Enumerable.Range(0, 4).Select(_ => NewStore(_database)).ToList();

        var errors = await Task.WhenAll(stores.Select(s => Record.ExceptionAsync(() => s.PrepareAsync(Token)).AsTask()));

        Assert.Single(errors, e => e is null);
        Assert.All(errors.Where(e => e is not null), e => Assert.Contains("Another PoeWatch service", Assert.IsType<StoreException>(e).Message, StringComparison.Ordinal));

        await using var connection = new NpgsqlConnection(_database + ";Pooling=false");
        await connection.OpenAsync(Token);
        await using var noted = new NpgsqlCommand("SELECT array_agg(scriptname ORDER BY scriptname) FROM schema_scripts", connection);
        var scripts = typeof(PostgresStore).Assembly.GetManifestResourceNames().Where(name => name.EndsWith(".sql", StringComparison.Ordinal));
        Assert.Equal(scripts.Order(StringComparer.Ordinal), (string[])(await noted.ExecuteScalarAsync(Token))!);
        foreach (var store in stores)
        {
            await store.DisposeAsync();
        }
    }

    [Fact]
    public async Task A_server_that_does_not_sync_is_warned_of()
    {
        await server.ExecuteAsync($"ALTER DATABASE {Name(_database)} SET synchronous_commit = off");
        var log = new ListLogger();
        await using var store = new PostgresStore(new PostgresStoreOptions(_database), log);

        await store.PrepareAsync(Token);

        Assert.Contains(log.Lines, line => line.StartsWith("Warning 2013", StringComparison.Ordinal) && line.Contains("synchronous_commit off", StringComparison.Ordinal));
    }

    [Fact]
    public async Task An_encoding_that_cannot_hold_all_text_is_refused()
    {
        var ascii = Name(_database) + "_ascii";
        await server.ExecuteAsync($"CREATE DATABASE {ascii} ENCODING 'SQL_ASCII' LOCALE 'C' TEMPLATE template0");
        var place = new NpgsqlConnectionStringBuilder(_database) { Database = ascii }.ConnectionString;
        await using (var store = NewStore(place))
        {
            var error = await Assert.ThrowsAsync<StoreException>(() => store.PrepareAsync(Token));
            Assert.Contains("ENCODING 'UTF8'", error.Message, StringComparison.Ordinal);
        }

        await server.DropDatabaseAsync(place);
    }

    [Fact]
    public void A_connection_string_that_cannot_be_read_is_refused_without_its_values()
    {
        var error = Assert.Throws<StoreException>(() => NewStore("Host=db;Pasword=harbour-wall-9"));

        Assert.Contains("Host=…", error.Message, StringComparison.Ordinal);
        Assert.DoesNotContain("harbour-wall-9", error.ToString(), StringComparison.Ordinal);
    }

    // SQLSTATE: PostgreSQL 15 manual, appendix A.
    [Theory]
    [InlineData("53100", true)]
    [InlineData("53300", true)]
    [InlineData("57P01", true)]
    [InlineData("57P02", true)]
    [InlineData("57P03", true)]
    [InlineData("40001", true)]
    [InlineData("40P01", true)]
    [InlineData("08006", true)]
    [InlineData("58030", true)]
    [InlineData("25006", true)]
    [InlineData("28P01", false)]
    [InlineData("3D000", false)]
    [InlineData("42501", false)]
    [InlineData("42P01", false)]
    [InlineData("XX001", false)]
    [InlineData("22021", false)]
    public void Each_state_says_whether_a_retry_helps(string state, bool isTransient)
    {
        var error = PostgresFaults.Translate(new PostgresException("reason", "ERROR", "ERROR", state), "'poewatch' on db:5432 (user 'poewatch')");

        Assert.Equal(isTransient, error.IsTransient);
        Assert.Contains(state, error.Message, StringComparison.Ordinal);
        Assert.Contains("db:5432", error.Message, StringComparison.Ordinal);
    }

    internal static PostgresStore NewStore(string connectionString) =>
        new(new PostgresStoreOptions(connectionString), NullLogger<PostgresStore>.Instance);

    internal static Task<List<Domain.Readings.SwitchReading>> ReadAllAsync(PostgresStore store) =>
        store.ReadAsync("quay-west", DateTimeOffset.MinValue, DateTimeOffset.MaxValue, Token).ToListAsync(Token).AsTask();

    internal static async Task<StoreException?> TryAppendAsync(PostgresStore store, int number)
    {
        try
        {
            await store.AppendAsync([SampleReadings.Numbered("quay-west", number)], Token);
            return null;
        }
        catch (StoreException e)
        {
            return e;
        }
    }

    /// <summary>Writes readings one after another until the store takes none; says how many it took.</summary>
    /// <param name="started">Done once there are some.</param>
    internal static async Task<(int Returned, StoreException Error)> WriteUntilFailureAsync(PostgresStore store, TaskCompletionSource started)
    {
        for (var n = 0; n < 1_000_000; n++)
        {
            if (await TryAppendAsync(store, n) is { } error)
            {
                return (n, error);
            }

            if (n == 50)
            {
                started.SetResult();
            }
        }

        throw new InvalidOperationException("The server did not stop.");
    }

    private static async Task<PostgresStore> PreparedAsync(string connectionString)
    {
        var store = NewStore(connectionString);
        await store.PrepareAsync(Token);
        return store;
    }

    private static string Name(string connectionString) => new NpgsqlConnectionStringBuilder(connectionString).Database!;

    private static async Task ExecuteAsync(string connectionString, string sql)
    {
        await using var connection = new NpgsqlConnection(connectionString + ";Pooling=false");
        await connection.OpenAsync(Token);
        await using var command = new NpgsqlCommand(sql, connection);
        await command.ExecuteNonQueryAsync(Token);
    }

    private sealed class ListLogger : ILogger<PostgresStore>
    {
        internal List<string> Lines { get; } = [];

        public IDisposable? BeginScope<TState>(TState state)
            where TState : notnull => null;

        public bool IsEnabled(LogLevel logLevel) => true;

        public void Log<TState>(LogLevel logLevel, EventId eventId, TState state, Exception? exception, Func<TState, Exception?, string> formatter) =>
            Lines.Add($"{logLevel} {eventId.Id}: {formatter(state, exception)}");
    }
}
