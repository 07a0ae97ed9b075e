using System.Security.Cryptography;
using System.Text.Json;
using PoeWatch.Domain.Evidence;
using PoeWatch.Monitoring.Abstractions;

namespace PoeWatch.Evidence.Tests.Exports;

public sealed class EvidenceExportTests
{
    [Fact]
    public async Task An_export_holds_all_files_and_the_manifest_their_hashes()
    {
        using var bench = await ExportBench.StartAsync();
        var path = await bench.ExportAsync();
        using var manifest = JsonDocument.Parse(await File.ReadAllTextAsync(Path.Combine(path, "manifest.json"), TestContext.Current.CancellationToken));
        var listed = manifest.RootElement.GetProperty("files").EnumerateArray().ToDictionary(f => f.GetProperty("name").GetString()!, f => f.GetProperty("sha256").GetString());
        Assert.Equal(
            [
                "agent-changes.csv", "alarms.csv", "conditions.csv", "designs.csv", "designs/test-design.yaml", "gaps.csv", "leaves.jsonl", "maintenance.csv",
                "quarter-hours.csv", "quarter-hours.parquet", "raw.csv", "raw.parquet", "roots.json",
            ],
            listed.Keys.Order(StringComparer.Ordinal));
        Assert.All(listed, f => Assert.Equal(f.Value, Convert.ToHexStringLower(SHA256.HashData(File.ReadAllBytes(Path.Combine(path, f.Key))))));
        Assert.Equal("2026-11-26T00:30:00.000000Z", manifest.RootElement.GetProperty("period").GetProperty("to").GetString());
        Assert.Equal("1.2.3", manifest.RootElement.GetProperty("software").GetString());
        Assert.Equal("UTC", manifest.RootElement.GetProperty("timeZone").GetString());
    }

    [Fact]
    public async Task Elements_that_left_the_design_are_exported_and_ceilings_never_stand_as_draws()
    {
        using var bench = await ExportBench.StartAsync();
        var rows = Table(await bench.ExportAsync(), "raw.csv");
        Assert.Equal(8, rows.Count(r => r["record"] == "port" && r["pse_id"] == "quay-east"));
        Assert.Equal(19, rows.Count(r => r["record"] == "poll" && r["pse_id"] == "quay-west"));
        Assert.All(rows.Where(r => r["port_ref"] == "quay-west:1/2"), r => Assert.Equal(("", "30000", "ceiling"), (r["draw_mw"], r["ceiling_mw"], r["quality"])));
        Assert.All(rows.Where(r => r["port_ref"] == "quay-west:1/3"), r => Assert.Equal(("", "", "none"), (r["draw_mw"], r["ceiling_mw"], r["quality"])));
        var first = rows.First(r => r["port_ref"] == "quay-west:1/1");
        Assert.Equal(("12002", "quay-west:1/1", "pole-1", "true"), (first["draw_mw"], first["run_id"], first["pole_ids"], first["is_sealed"]));
        Assert.Equal("'-no answer, \"quay-west\"\r\nafter 3 tries", rows.Single(r => r["poll_outcome"] == "silent")["detail"]);
    }

    [Fact]
    public async Task Quarter_hours_give_no_energy_to_gaps_and_gaps_are_listed()
    {
        using var bench = await ExportBench.StartAsync();
        var path = await bench.ExportAsync();
        var quarters = Table(path, "quarter-hours.csv").Where(r => r["port_ref"] == "quay-west:1/1").ToList();
        Assert.Equal(5, quarters.Count);

        // 23:15 to 23:30, worked by hand: polls at minutes 2, 6, 8, 10 and 14 (silent) of a period of 60 s: each holds until the next where that is within
        // 3 min, else for 60 s. 2 to 3, 6 to 8, 8 to 10, 10 to 11 are 6 of 15 minutes: (12.002 + 2 x 12.006 + 2 x 12.008 + 12.010) / 60 = 1.200667 Wh.
        Assert.Equal(("40", "1.200667", "12002", "12010"), (quarters[0]["completeness_percent"], Padded(quarters[0]["energy_wh"]), quarters[0]["min_mw"], quarters[0]["max_mw"]));
        Assert.Contains(Table(path, "gaps.csv"), g => g["port_ref"] == "quay-west:1/1" && g["reason"] == "silent");
        Assert.All(Table(path, "quarter-hours.csv").Where(r => r["port_ref"] == "quay-west:1/2"), r => Assert.Equal(("", "0", "ceiling"), (r["energy_wh"], r["completeness_percent"], r["quality"])));
    }

    [Fact]
    public async Task Alarms_operators_conditions_work_changes_of_agents_and_designs_of_the_period_are_there()
    {
        using var bench = await ExportBench.StartAsync();
        var path = await bench.ExportAsync();
        Assert.Equal(["raised|minor||4.1 W left, \"early\" floor 5 W", "ack|minor|nora|'=on my way"], Table(path, "alarms.csv").Select(a => $"{a["kind"]}|{a["severity"]}|{a["who"]}|{a["text"]}"));
        Assert.Equal(["dark|true|mira"], Table(path, "conditions.csv").Select(c => $"{c["topic"]}|{c["holds"]}|{c["who"]}"));
        Assert.Equal(["mw-1|pole/pole-1|2026-11-25T23:24:00.000000Z|mira|'=new gland|"], Table(path, "maintenance.csv").Select(w => $"{w["id"]}|{w["scope"]}|{w["to_utc"]}|{w["who"]}|{w["reason"]}|{w["ended_by"]}"));
        Assert.Equal(["quay-west|restarted|The agent started again."], Table(path, "agent-changes.csv").Select(c => $"{c["pse_id"]}|{c["kind"]}|{c["text"]}"));
        Assert.Equal(["test-design|2026-11-22T23:15:00.000000Z||true"], Table(path, "designs.csv").Select(d => $"{d["hash"]}|{d["in_force_from_utc"]}|{d["in_force_until_utc"]}|{d["is_readable"]}"));
    }

    [Theory]
    [InlineData("pole", "pole-1", "quay-west:1/1")]
    [InlineData("port", "quay-west:1/2", "quay-west:1/2")]
    [InlineData("switch", "quay-east", "quay-east:1/1")]
    public async Task A_scope_holds_its_ports_alone_and_is_proven_all_the_same(string kind, string id, string port)
    {
        using var bench = await ExportBench.StartAsync();
        var path = await bench.ExportAsync(new EvidenceScope(kind, id));
        Assert.Null(bench.Problem);
        Assert.Equal([port], Table(path, "raw.csv").Where(r => r["record"] == "port").Select(r => r["port_ref"]).Distinct());
        var verdict = await bench.CheckAsync(path);
        Assert.Empty(verdict.Faults);
    }

    [Theory]
    [InlineData("pole", "pole-9")]
    [InlineData("switch", "quay-north")]
    [InlineData("port", "quay-west")]
    public async Task What_nobody_knows_is_refused_by_name(string kind, string id)
    {
        using var bench = await ExportBench.StartAsync();
        await bench.ExportAsync(new EvidenceScope(kind, id));
        Assert.Contains($"{kind} '{id}'", bench.Problem, StringComparison.Ordinal);
    }

    internal static List<Dictionary<string, string>> Table(string folder, string name)
    {
        using var text = new StreamReader(Path.Combine(folder, name));
        var records = new CsvRecords(text);
        var head = records.Read()!;
        var rows = new List<Dictionary<string, string>>();
        while (records.Read() is { } fields)
        {
            rows.Add(head.Zip(fields).ToDictionary(p => p.First, p => p.Second));
        }

        return rows;
    }

    private static string Padded(string number) => double.Parse(number, System.Globalization.CultureInfo.InvariantCulture).ToString("0.000000", System.Globalization.CultureInfo.InvariantCulture);
}
