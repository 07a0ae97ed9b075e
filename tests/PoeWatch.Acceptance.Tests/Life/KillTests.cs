using System.Globalization;
using System.Text.Json;
using Microsoft.Data.Sqlite;
using PoeWatch.Acceptance.Tests.Agents;
using PoeWatch.Acceptance.Tests.Support;
using PoeWatch.TestKit;

namespace PoeWatch.Acceptance.Tests.Life;

/// <summary>
/// The service is killed in mid-poll, again and again, at moments drawn by a seed. What it had called kept must be in the export of the next
/// one; what it had shown more than 2 s before the kill must be there too, kept or not.
/// </summary>
public sealed class KillTests
{
    private static readonly TimeSpan UnkeptMax = TimeSpan.FromSeconds(2);

    [Fact]
    public async Task Kill_9_in_mid_poll_loses_nothing_kept_and_at_most_2_s_of_the_rest()
    {
        var seed = EvidenceRun.Seed(20261124);
        var kills = EvidenceRun.Rounds(3);
        TestContext.Current.SendDiagnosticMessage("seed {0}", seed);
        var chance = new Random(seed);
        var began = TimeProvider.System.GetUtcNow();
        var seen = new Dictionary<DateTimeOffset, Shown>();
        using var folder = new WorkFolder();
        await using var agent = await SnmpdAgent.StartAsync(FerryRamp.Drawing(20_000), 1);
        folder.Write("design.yaml", FerryRamp.Design(agent.Ports[0]));
        folder.Write("settings.json", FerryRamp.Settings);

        for (var round = 0; round < kills; round++)
        {
            await using var service = await FerryRamp.ServeAsync(folder);
            var killed = await WatchAndKillAsync(service, agent, seen, chance, round);
            foreach (var (at, shown) in seen.Where(s => s.Value.Deadline is null).ToList())
            {
                seen[at] = shown with { Deadline = killed - UnkeptMax };
            }
        }

        await using (var last = await FerryRamp.ServeAsync(folder))
        {
            var export = (await ExportFile.ReadAsync(last.Rest, began, TimeProvider.System.GetUtcNow())).Readings(FerryRamp.Port);
            var stored = export.ToDictionary(r => r.At, r => r.Fields["draw_mw"]);
            AssertNothingLost(seen, stored, kills, last.Output);
            EvidenceRun.Note("kills with signal 9", kills);
            EvidenceRun.Note("readings called kept before a kill, all found after it", seen.Values.Count(s => s.IsKept));
            EvidenceRun.Note("readings shown in all", seen.Count);
            EvidenceRun.Note("readings shown and not found later, all of the last 2 s before a kill", seen.Keys.Count(at => !stored.ContainsKey(at)));
            Assert.Equal(0, await last.InterruptAsync(TimeSpan.FromSeconds(10)));
        }

        Assert.Equal("ok", Integrity(folder.At("data", "history.db")));
    }

    /// <summary>Notes what the API shows until enough of it is kept, and some more, and kills between two looks.</summary>
    private static async Task<DateTimeOffset> WatchAndKillAsync(
        Service service, SnmpdAgent agent, Dictionary<DateTimeOffset, Shown> seen, Random chance, int round)
    {
        var draw = 20_000 + (round * 1_000);
        var keptBefore = seen.Values.Count(s => s.IsKept);
        var looks = 0;
        var looksAfterEnough = chance.Next(1, 12);
        await Eventually.HoldsAsync(
            "six more readings called kept",
            async () =>
            {
                agent.Change(FerryRamp.Drawing(++draw));
                await NoteAsync(service, seen);
                return seen.Values.Count(s => s.IsKept) >= keptBefore + 6 && ++looks >= looksAfterEnough;
            },
            () => service.Output);
        await service.KillAsync();
        return TimeProvider.System.GetUtcNow();
    }

    private static async Task NoteAsync(Service service, Dictionary<DateTimeOffset, Shown> seen)
    {
        var port = await service.Rest.GetAsync("/api/v1/ports/quay/1/1");
        if (port.GetProperty("at").ValueKind == JsonValueKind.Null || port.GetProperty("draw").GetProperty("drawAtPseW").ValueKind == JsonValueKind.Null)
        {
            return;
        }

        var at = Rest.Time(port, "at");
        var milliwatts = (port.GetProperty("draw").GetProperty("drawAtPseW").GetDouble() * 1000).ToString("0", CultureInfo.InvariantCulture);
        var before = seen.GetValueOrDefault(at);
        seen[at] = new Shown(milliwatts, before?.IsKept == true || port.GetProperty("kept").GetBoolean(), before?.Deadline);
    }

    private static void AssertNothingLost(Dictionary<DateTimeOffset, Shown> seen, Dictionary<DateTimeOffset, string> stored, int kills, string output)
    {
        Assert.True(seen.Values.Count(s => s.IsKept) >= 6 * kills, "Too few readings were called kept to prove anything.");
        var lostKept = seen.Where(s => s.Value.IsKept && stored.GetValueOrDefault(s.Key) != s.Value.DrawMilliwatts).ToList();
        Assert.True(lostKept.Count == 0, $"Called kept and not in the export: {string.Join(", ", lostKept)}. {output}");
        var lostOld = seen.Where(s => s.Key < s.Value.Deadline && stored.GetValueOrDefault(s.Key) != s.Value.DrawMilliwatts).ToList();
        Assert.True(lostOld.Count == 0, $"Shown more than 2 s before the kill and not in the export: {string.Join(", ", lostOld)}. {output}");
    }

    private static string Integrity(string database)
    {
        using var connection = new SqliteConnection(new SqliteConnectionStringBuilder { DataSource = database, Mode = SqliteOpenMode.ReadOnly, Pooling = false }.ToString());
        connection.Open();
        using var command = connection.CreateCommand();
        command.CommandText = "PRAGMA integrity_check";
        return (string)command.ExecuteScalar()!;
    }

    /// <summary>A reading as the API showed it.</summary>
    /// <param name="Deadline">Readings from before it had to be kept when the service was killed; null while it lives.</param>
    private sealed record Shown(string DrawMilliwatts, bool IsKept, DateTimeOffset? Deadline);
}
