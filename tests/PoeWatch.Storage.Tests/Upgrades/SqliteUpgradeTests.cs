using DbUp;
using Microsoft.Data.Sqlite;
using PoeWatch.Monitoring.Storage;
using PoeWatch.Storage.Sqlite;
using PoeWatch.Storage.Tests.Sqlite;
using PoeWatch.Storage.Tests.Suites;

namespace PoeWatch.Storage.Tests.Upgrades;

public sealed class SqliteUpgradeTests : UpgradeSuite
{
    private string ConnectionString => $"Data Source={((SqliteHarness)Harness).DatabasePath};Pooling=False";

    protected override Task<StoreHarness> NewHarnessAsync() => Task.FromResult<StoreHarness>(new SqliteHarness());

    protected override Task MakeAsync(int layout)
    {
        Directory.CreateDirectory(Path.GetDirectoryName(((SqliteHarness)Harness).DatabasePath)!);
        var result = DeployChanges.To.SqliteDatabase(ConnectionString)
            .JournalToSqliteTable(SqliteSchema.JournalTable)
            .WithScriptsEmbeddedInAssembly(typeof(SqliteStore).Assembly, name => NumberOf(name) <= layout)
            .WithVariablesDisabled().WithTransactionPerScript().LogToNowhere().Build().PerformUpgrade();
        Assert.True(result.Successful, result.Error?.Message);
        return Task.CompletedTask;
    }

    protected override async Task InsertAsync(string table, IReadOnlyDictionary<string, object?> values)
    {
        await using var connection = new SqliteConnection(ConnectionString);
        await connection.OpenAsync(Token);
        await using var command = connection.CreateCommand();
        var (names, places) = (new List<string>(), new List<string>());
        var columns = (await ColumnsAsync(connection, table)).ToHashSet();
        foreach (var (name, value) in values)
        {
            // A time's column has its unit behind its name, also where it holds none.
            names.Add(columns.Contains(name) ? name : name + "_us");
            places.Add($"${places.Count + 1}");
            command.Parameters.AddWithValue(places[^1], value switch
            {
                DateTimeOffset time => StoreTime.ToMicroseconds(time),
                null => DBNull.Value,
                _ => value,
            });
        }

        command.CommandText = $"INSERT INTO {table} ({string.Join(", ", names)}) VALUES ({string.Join(", ", places)})";
        await command.ExecuteNonQueryAsync(Token);
    }

    private static async Task<List<string>> ColumnsAsync(SqliteConnection connection, string table)
    {
        await using var command = connection.CreateCommand();
        command.CommandText = $"SELECT name FROM pragma_table_info('{table}')";
        await using var reader = await command.ExecuteReaderAsync(Token);
        var names = new List<string>();
        while (await reader.ReadAsync(Token))
        {
            names.Add(reader.GetString(0));
        }

        return names;
    }
}
