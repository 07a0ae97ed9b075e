using DbUp;
using Npgsql;
using PoeWatch.Storage.Postgres;
using PoeWatch.Storage.Tests.Postgres;
using PoeWatch.Storage.Tests.Suites;

namespace PoeWatch.Storage.Tests.Upgrades;

public sealed class PostgresUpgradeTests(PostgresServer server) : UpgradeSuite
{
    private string ConnectionString => ((PostgresHarness)Harness).ConnectionString + ";Pooling=false";

    protected override Task<StoreHarness> NewHarnessAsync() => PostgresHarness.NewAsync(server);

    protected override Task MakeAsync(int layout)
    {
        var result = DeployChanges.To.PostgresqlDatabase(ConnectionString)
            .JournalToPostgresqlTable("public", PostgresSchema.JournalTable)
            .WithScriptsEmbeddedInAssembly(typeof(PostgresStore).Assembly, name => NumberOf(name) <= layout)
            .WithVariablesDisabled().WithTransactionPerScript().LogToNowhere().Build().PerformUpgrade();
        Assert.True(result.Successful, result.Error?.Message);
        return Task.CompletedTask;
    }

    protected override async Task InsertAsync(string table, IReadOnlyDictionary<string, object?> values)
    {
        await using var connection = new NpgsqlConnection(ConnectionString);
        await connection.OpenAsync(Token);
        if (table == "block")
        {
            // The service of that time made the months that it needed.
            await using var month = new NpgsqlCommand(PostgresPartitions.Create(PostgresPartitions.MonthOf(((DateTimeOffset)values["hour"]!).UtcDateTime)), connection);
            await month.ExecuteNonQueryAsync(Token);
        }

        // Numbers are written as its sequences would have given them, and those go on behind.
        await using var insert = new NpgsqlCommand(
            $"INSERT INTO {table} ({string.Join(", ", values.Keys)}) OVERRIDING SYSTEM VALUE VALUES ({string.Join(", ", values.Select((_, n) => $"${n + 1}"))})", connection);
        foreach (var value in values.Values)
        {
            insert.Parameters.Add(new NpgsqlParameter { Value = value ?? DBNull.Value });
        }

        await insert.ExecuteNonQueryAsync(Token);
        if (values.GetValueOrDefault("id") is long)
        {
            await using var number = new NpgsqlCommand(
                $"SELECT setval(s::regclass, (SELECT max(id) FROM {table})::bigint) FROM (SELECT pg_get_serial_sequence($1, 'id')) q (s) WHERE s IS NOT NULL", connection)
            {
                Parameters = { new() { Value = table } },
            };
            await number.ExecuteNonQueryAsync(Token);
        }
    }
}
