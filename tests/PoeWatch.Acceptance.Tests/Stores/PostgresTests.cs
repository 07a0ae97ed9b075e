using System.Net;
using System.Text.Json;
using Npgsql;
using PoeWatch.Acceptance.Tests.Agents;
using PoeWatch.Acceptance.Tests.Support;
using PoeWatch.TestKit.Postgres;

namespace PoeWatch.Acceptance.Tests.Stores;

/// <summary>PostgreSQL by one setting: the same service, and what it does while the database is away.</summary>
public sealed class PostgresTests : IAsyncLifetime
{
    private readonly WorkFolder _folder = new();
    private PrivatePostgres _postgres = null!;
    private SnmpdAgent _agent = null!;

    public async ValueTask InitializeAsync()
    {
        var binaries = PostgresBinaries.FindFolder()
            ?? throw new InvalidOperationException("These tests need PostgreSQL's server programs. Install them (Debian and Ubuntu: apt-get install postgresql).");
        _postgres = await PrivatePostgres.StartNewAsync(binaries, CancellationToken.None);
        _agent = await SnmpdAgent.StartAsync(FerryRamp.Drawing(21_500), 1);
        _folder.Write("design.yaml", FerryRamp.Design(_agent.Ports[0]));
        _folder.Write("settings.json", FerryRamp.Settings);
    }

    public async ValueTask DisposeAsync()
    {
        await (_agent?.DisposeAsync() ?? ValueTask.CompletedTask);
        await (_postgres?.DisposeAsync() ?? ValueTask.CompletedTask);
        _folder.Dispose();
    }

    [Fact]
    public async Task One_environment_variable_keeps_the_history_in_PostgreSQL_and_kill_9_loses_nothing_kept()
    {
        var began = TimeProvider.System.GetUtcNow();
        var setting = new Dictionary<string, string?> { ["POEWATCH_store__postgres"] = _postgres.ConnectionString };
        DateTimeOffset kept;
        await using (var service = await FerryRamp.ServeAsync(_folder, setting))
        {
            kept = Rest.Time(await SeeKeptAsync(service), "at");
            await service.KillAsync();
        }

        Assert.False(File.Exists(_folder.At("data", "history.db")), "With PostgreSQL set nothing is to be written into the data folder.");
        await using var again = await FerryRamp.ServeAsync(_folder, setting);
        await SeeKeptAsync(again);
        var readings = (await ExportFile.ReadAsync(again.Rest, began, TimeProvider.System.GetUtcNow())).Readings(FerryRamp.Port);
        Assert.Contains(readings, r => r.At == kept && r.Fields["draw_mw"] == "21500" && r.Fields["provenance"] == "measured");
        Assert.True(await CountTablesAsync() > 0, "The database holds no table of the service.");
    }

    [Fact]
    public async Task While_the_database_is_stopped_readings_are_kept_in_the_spool_health_says_so_and_all_of_them_reach_it_later()
    {
        var began = TimeProvider.System.GetUtcNow();
        var setting = new Dictionary<string, string?> { ["POEWATCH_store__postgres"] = _postgres.ConnectionString };
        await using var service = await FerryRamp.ServeAsync(_folder, setting);
        var first = Rest.Time(await SeeKeptAsync(service), "at");

        await _postgres.StopAsync(PostgresStop.Fast, TestContext.Current.CancellationToken);
        var health = await SeeHealthAsync(
            service, "health bad with polls in the spool", h => Part(h, "history") == "bad" && Detail(h, "history").Contains(" polls are kept in the spool", StringComparison.Ordinal));
        Assert.True(health.GetProperty("waitingReadingsMaxCount").GetInt32() > 0);
        var spooled = await service.SeePortAsync("live values, kept in the spool", "quay", 1, 1, p => p.GetProperty("kept").GetBoolean() && Rest.Time(p, "at") > first);
        Assert.Equal(21.5, spooled.GetProperty("draw").GetProperty("drawAtPseW").GetDouble());

        await _postgres.StartAsync(TestContext.Current.CancellationToken);
        await SeeHealthAsync(service, "health good again", h => Part(h, "history") == "good");
        var last = Rest.Time(await SeeKeptAsync(service), "at");
        var export = await SeeExportedAsync(service, began, last);
        var readings = export.Readings(FerryRamp.Port).Where(r => r.At >= first && r.At <= last).ToList();
        Assert.Contains(readings, r => r.At == Rest.Time(spooled, "at"));
        Assert.DoesNotContain(export, r => r.Kind == "gap" && r.Port == FerryRamp.Port && r.At > first && r.At < last);
    }

    [Fact]
    public async Task With_the_database_down_at_the_start_the_service_polls_and_keeps_what_waited_once_it_is_there()
    {
        await _postgres.StopAsync(PostgresStop.Fast, TestContext.Current.CancellationToken);
        _folder.Write("connection", _postgres.ConnectionString + "\n");
        var began = TimeProvider.System.GetUtcNow();
        await using var service = await FerryRamp.ServeAsync(
            _folder, new Dictionary<string, string?> { ["POEWATCH_store__postgresFile"] = _folder.At("connection") });
        var live = await service.SeePortAsync(
            "live watts without a database", "quay", 1, 1, p => p.GetProperty("draw").GetProperty("provenance").GetString() == "measured");
        var health = await SeeHealthAsync(service, "history bad", h => Part(h, "history") == "bad");
        Assert.Contains("not open", Detail(health, "history"), StringComparison.Ordinal);
        var password = new NpgsqlConnectionStringBuilder(_postgres.ConnectionString).Password!;
        Assert.DoesNotContain(password, service.Output + health.GetRawText(), StringComparison.Ordinal);

        await _postgres.StartAsync(TestContext.Current.CancellationToken);
        await SeeHealthAsync(service, "history good", h => Part(h, "history") == "good");
        var export = await SeeExportedAsync(service, began, Rest.Time(live, "at"));
        Assert.Contains(export.Readings(FerryRamp.Port), r => r.At == Rest.Time(live, "at"));
    }

    /// <summary>What the spool holds is exported once it has reached the database.</summary>
    private static async Task<IReadOnlyList<ExportRecord>> SeeExportedAsync(Service service, DateTimeOffset from, DateTimeOffset until)
    {
        IReadOnlyList<ExportRecord> newest = [];
        await Eventually.HoldsAsync(
            "the reading in the export",
            async () =>
            {
                newest = await ExportFile.ReadAsync(service.Rest, from, TimeProvider.System.GetUtcNow());
                return newest.Readings(FerryRamp.Port).Any(r => r.At >= until);
            },
            () => service.Output);
        return newest;
    }

    private static Task<JsonElement> SeeKeptAsync(Service service) => service.SeePortAsync(
        "a kept reading", "quay", 1, 1, p => p.GetProperty("kept") is { ValueKind: JsonValueKind.True });

    /// <summary>Health answers 503 where a part is bad, and says why all the same.</summary>
    private static async Task<JsonElement> SeeHealthAsync(Service service, string what, Func<JsonElement, bool> satisfies)
    {
        JsonElement newest = default;
        await Eventually.HoldsAsync(
            what,
            async () =>
            {
                var (status, body) = await service.Rest.SendAsync(HttpMethod.Get, "/api/v1/health");
                newest = Rest.Read(body);
                Assert.Equal(newest.GetProperty("status").GetString() == "bad" ? HttpStatusCode.ServiceUnavailable : HttpStatusCode.OK, status);
                return satisfies(newest);
            },
            () => $"health last gave {newest}{Environment.NewLine}{service.Output}");
        return newest;
    }

    private static JsonElement PartOf(JsonElement health, string part) =>
        health.GetProperty("parts").EnumerateArray().Single(p => p.GetProperty("part").GetString() == part);

    private static string Part(JsonElement health, string part) => PartOf(health, part).GetProperty("status").GetString()!;

    private static string Detail(JsonElement health, string part) => PartOf(health, part).GetProperty("detail").GetString()!;

    private async Task<long> CountTablesAsync()
    {
        await using var connection = new NpgsqlConnection(_postgres.ConnectionString + ";Pooling=false");
        await connection.OpenAsync(TestContext.Current.CancellationToken);
        await using var command = new NpgsqlCommand(
            "select count(*) from information_schema.tables where table_schema not in ('pg_catalog', 'information_schema')", connection);
        return (long)(await command.ExecuteScalarAsync(TestContext.Current.CancellationToken))!;
    }
}
