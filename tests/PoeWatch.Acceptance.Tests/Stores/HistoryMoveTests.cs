using System.Globalization;
using Npgsql;
using PoeWatch.Acceptance.Tests.Agents;
using PoeWatch.Acceptance.Tests.Support;
using PoeWatch.TestKit.Postgres;

namespace PoeWatch.Acceptance.Tests.Stores;

/// <summary>Back-up, restore and the move into PostgreSQL with the commands that people type, PostgreSQL's own among them; the service runs on what comes of each.</summary>
public sealed class HistoryMoveTests : IAsyncLifetime
{
    private readonly WorkFolder _folder = new();
    private readonly DateTimeOffset _began = TimeProvider.System.GetUtcNow();
    private string _binaries = "";
    private PrivatePostgres _postgres = null!;
    private SnmpdAgent _agent = null!;

    public async ValueTask InitializeAsync()
    {
        _binaries = PostgresBinaries.FindFolder()
            ?? throw new InvalidOperationException("These tests need PostgreSQL's server programs. Install them (Debian and Ubuntu: apt-get install postgresql).");
        _postgres = await PrivatePostgres.StartNewAsync(_binaries, CancellationToken.None);
        _agent = await SnmpdAgent.StartAsync(FerryRamp.Drawing(21_500), 1);
        _folder.Write("design.yaml", FerryRamp.Design(_agent.Ports[0]));
        _folder.Write("settings.json", FerryRamp.Settings);
        _folder.Write("connection", _postgres.ConnectionString);
    }

    public async ValueTask DisposeAsync()
    {
        await (_agent?.DisposeAsync() ?? ValueTask.CompletedTask);
        await (_postgres?.DisposeAsync() ?? ValueTask.CompletedTask);
        _folder.Dispose();
    }

    [Fact]
    public async Task A_history_is_copied_restored_moved_dumped_and_restored_and_no_reading_is_missing()
    {
        var inDatabase = new Dictionary<string, string?> { ["POEWATCH_store__postgresFile"] = _folder.At("connection") };
        DateTimeOffset kept;
        await using (var service = await FerryRamp.ServeAsync(_folder))
        {
            // Kept may be in the spool, which is no part of a back-up: in an export it is once the store has it.
            kept = await SeeKeptAsync(service);
            await SeeExportedAsync(service, kept);
            await RunAsync(0, null, "prove-history", "--data", _folder.At("data"));
            Directory.CreateDirectory(_folder.At("restored"));
            await RunAsync(0, null, "copy-history", "--data", _folder.At("data"), "--out", _folder.At("restored", "history.db"));
            await RunAsync(3, null, "copy-history", "--data", _folder.At("data"), "--out", _folder.At("restored", "history.db"));
            Assert.Contains("Another PoeWatch service", await RunAsync(3, inDatabase, "move-history", "--data", _folder.At("data")), StringComparison.Ordinal);
        }

        Assert.Contains("Faults: 0.", await RunAsync(0, null, "prove-history", "--data", _folder.At("restored")), StringComparison.Ordinal);
        await using (var service = await ServeOnAsync("restored", null))
        {
            await SeeExportedAsync(service, kept);
            await SeeKeptAsync(service);
        }

        Assert.Contains("No database is named", await RunAsync(2, null, "move-history", "--data", _folder.At("data")), StringComparison.Ordinal);
        Assert.Contains("Faults: 0.", await RunAsync(0, inDatabase, "move-history", "--data", _folder.At("data")), StringComparison.Ordinal);
        Assert.Contains("holds data already", await RunAsync(3, inDatabase, "move-history", "--data", _folder.At("data")), StringComparison.Ordinal);
        await using (var service = await ServeOnAsync("data", inDatabase))
        {
            await SeeExportedAsync(service, kept);
            kept = await SeeKeptAsync(service);
            await SeeExportedAsync(service, kept);
            await PostgresToolAsync("pg_dump", "--format=custom", "--file", _folder.At("poewatch.dump"), "postgres");
        }

        await PostgresToolAsync("createdb", "--template=template0", "--encoding=UTF8", "again");
        await PostgresToolAsync("pg_restore", "--exit-on-error", "--dbname=again", _folder.At("poewatch.dump"));
        _folder.Write("connection", new NpgsqlConnectionStringBuilder(_postgres.ConnectionString) { Database = "again" }.ConnectionString);
        Assert.Contains("Faults: 0.", await RunAsync(0, inDatabase, "prove-history"), StringComparison.Ordinal);
        await using (var service = await ServeOnAsync("data", inDatabase))
        {
            await SeeExportedAsync(service, kept);
            await SeeKeptAsync(service);
        }
    }

    private static async Task<DateTimeOffset> SeeKeptAsync(Service service) => Rest.Time(
        await service.SeePortAsync("a kept reading", "quay", 1, 1, p => p.GetProperty("kept").ValueKind == System.Text.Json.JsonValueKind.True), "at");

    private static async Task<string> RunAsync(int expected, Dictionary<string, string?>? environment, params string[] arguments)
    {
        await using var program = Service.Start(arguments, environment);
        var code = await program.ExitAsync();
        Assert.True(code == expected, $"{string.Join(' ', arguments)}: {code}\n{program.Output}");
        return program.Output;
    }

    private Task<Service> ServeOnAsync(string data, Dictionary<string, string?>? environment) => Service.ServingAsync(
        ["serve", "--design", _folder.At("design.yaml"), "--settings", _folder.At("settings.json"), "--data", _folder.At(data), "--port", "0"], environment);

    private Task SeeExportedAsync(Service service, DateTimeOffset kept) => Eventually.HoldsAsync(
        "the reading kept before, in the export",
        async () => (await ExportFile.ReadAsync(service.Rest, _began, TimeProvider.System.GetUtcNow())).Readings(FerryRamp.Port)
            .Any(r => r.At == kept && r.Fields["draw_mw"] == "21500" && r.Fields["provenance"] == "measured"),
        () => service.Output);

    private async Task PostgresToolAsync(string tool, params string[] arguments)
    {
        var parts = new NpgsqlConnectionStringBuilder(_postgres.ConnectionString);
        await using var program = OutsideProgram.Start(
            Path.Combine(_binaries, tool),
            ["--host=127.0.0.1", $"--port={parts.Port.ToString(CultureInfo.InvariantCulture)}", $"--username={parts.Username}", .. arguments],
            new Dictionary<string, string?> { ["PGPASSWORD"] = parts.Password });
        Assert.True(await program.ExitAsync() == 0, program.Output);
    }
}
