using System.IO.Compression;
using System.Security.Cryptography;
using PoeWatch.Domain.Evidence.Seals;
using PoeWatch.Monitoring.Sealing;

namespace PoeWatch.Evidence.Tests.Checks;

public sealed class EvidenceCheckTests
{
    public static TheoryData<string> Files =>
    [
        "manifest.json", "manifest.sig", "agent-changes.csv", "alarms.csv", "conditions.csv", "designs.csv", "designs/test-design.yaml", "gaps.csv", "leaves.jsonl",
        "maintenance.csv", "quarter-hours.csv", "quarter-hours.parquet", "raw.csv", "raw.parquet", "roots.json",
    ];

    private static CancellationToken Token => TestContext.Current.CancellationToken;

    [Fact]
    public async Task What_nobody_touched_holds_and_says_what_cannot_be_excluded()
    {
        using var bench = await ExportBench.StartAsync();
        var verdict = await bench.CheckAsync(await bench.ExportAsync());
        Assert.Empty(verdict.Faults);
        Assert.Contains(verdict.Notes, n => n.Contains("whoever holds the key rewrote the whole history and signed it anew cannot be excluded", StringComparison.Ordinal));
        Assert.Contains(verdict.Notes, n => n.StartsWith("agent-changes.csv, alarms.csv, conditions.csv", StringComparison.Ordinal) && n.Contains("not in the hash tree", StringComparison.Ordinal));
        Assert.Contains(verdict.Notes, n => n.StartsWith("3 polls from 2026-11-26T00:17:00.", StringComparison.Ordinal));
        Assert.Contains(verdict.Summary, s => s.Contains("1 roots of days, 2026-11-25 to 2026-11-25", StringComparison.Ordinal));
    }

    [Fact]
    public async Task A_zip_is_checked_as_its_folder_is()
    {
        using var bench = await ExportBench.StartAsync();
        var folder = await bench.ExportAsync();
        var zip = folder + ".zip";
        await ZipFile.CreateFromDirectoryAsync(folder, zip, Token);
        Assert.Empty((await bench.CheckAsync(zip)).Faults);
    }

    [Theory]
    [MemberData(nameof(Files))]
    public async Task A_changed_byte_anywhere_in_a_file_is_found_and_the_file_named(string name)
    {
        using var bench = await ExportBench.StartAsync();
        foreach (var place in new[] { 0, 0.11, 0.35, 0.5, 0.77, 0.93, 1 })
        {
            var folder = await bench.ExportAsync();
            Tampering.Flip(folder, name, place);
            var verdict = await bench.CheckAsync(folder);
            Assert.Contains(verdict.Faults, f => f.Contains(name, StringComparison.Ordinal));
        }
    }

    [Theory]
    [MemberData(nameof(Files))]
    public async Task A_missing_file_is_named(string name)
    {
        using var bench = await ExportBench.StartAsync();
        var folder = await bench.ExportAsync();
        File.Delete(Path.Combine(folder, name));
        Assert.Contains((await bench.CheckAsync(folder)).Faults, f => f.StartsWith($"{name} is missing", StringComparison.Ordinal));
    }

    [Fact]
    public async Task A_file_too_many_is_named()
    {
        using var bench = await ExportBench.StartAsync();
        var folder = await bench.ExportAsync();
        await File.WriteAllTextAsync(Path.Combine(folder, "more.csv"), "x", Token);
        Assert.Contains((await bench.CheckAsync(folder)).Faults, f => f.StartsWith("more.csv does not belong to the export", StringComparison.Ordinal));
    }

    [Fact]
    public async Task A_changed_row_is_named_also_where_the_manifest_was_mended_and_signed_anew()
    {
        using var bench = await ExportBench.StartAsync();
        var folder = await bench.ExportAsync();
        Tampering.Rewrite(folder, "raw.csv", t => t.Replace(",12002,", ",11002,", StringComparison.Ordinal));
        Tampering.FixHashes(folder);
        Tampering.Sign(folder, bench.Key);
        var faults = (await bench.CheckAsync(folder)).Faults;
        Assert.Contains(faults, f => f.StartsWith("raw.csv, record 19 (quay-west:1/1 at 2026-11-25T23:17:00.000000Z) was changed: its hash is", StringComparison.Ordinal));
        Assert.Contains(faults, f => f.StartsWith("The poll of quay-west at 2026-11-25T23:17:00.000000Z does not fit its leaf", StringComparison.Ordinal));
        Assert.Contains(faults, f => f.StartsWith("raw.parquet and raw.csv differ in record 19, draw_mw: '12002' and '11002'", StringComparison.Ordinal));
    }

    [Fact]
    public async Task A_row_whose_own_hash_was_mended_too_is_found_by_its_poll_and_a_poll_by_its_leaf_and_a_leaf_by_the_tree()
    {
        using var bench = await ExportBench.StartAsync();
        var folder = await bench.ExportAsync();
        var changed = ExportBench.West(2) with { Ports = [.. ExportBench.West(2).Ports.Select((p, i) => i == 0 ? p with { DrawAtPse = PoeWatch.Domain.Quantities.Power.FromMilliwatts(11_002) } : p)] };
        var (before, after) = (CanonicalRow.RowsOf(ExportBench.West(2)), CanonicalRow.RowsOf(changed));
        Tampering.Rewrite(folder, "raw.csv", t => t.Replace(",12002,", ",11002,", StringComparison.Ordinal)
            .Replace(CanonicalRow.HashOf(before[1]).ToString(), CanonicalRow.HashOf(after[1]).ToString(), StringComparison.Ordinal));
        Assert.Contains((await bench.CheckAsync(folder)).Faults, f => f.StartsWith("The poll of quay-west at 2026-11-25T23:17:00.000000Z does not fit", StringComparison.Ordinal));

        Tampering.Rewrite(folder, "leaves.jsonl", t => t.Replace(SealedPoll.Of(before).Root.ToString(), SealedPoll.Of(after).Root.ToString(), StringComparison.Ordinal));
        Assert.Contains(
            (await bench.CheckAsync(folder)).Faults,
            f => f.StartsWith("The leaf of quay-west from 2026-11-25T23:15:00.000000Z (number 2, seal) does not fit its polls", StringComparison.Ordinal));

        var leaf = bench.Seals.Leaves[2];
        var polls = leaf.PollTimes.Select((_, i) => SealedPoll.Of(i == 0 ? changed : ExportBench.West((i * 4) + 2)));
        var forged = new SealLeaf(SealKind.Seal, "quay-west", SealInterval.MicrosecondsOf(leaf.Start), [.. polls]).Hash();
        Tampering.Rewrite(folder, "leaves.jsonl", t => t.Replace(leaf.Hash.ToString(), forged.ToString(), StringComparison.Ordinal));
        Tampering.FixHashes(folder);
        Tampering.Sign(folder, bench.Key);
        Assert.Contains(
            (await bench.CheckAsync(folder)).Faults,
            f => f.StartsWith("The leaf of quay-west from 2026-11-25T23:15:00.000000Z (number 2, seal) is not in the tree", StringComparison.Ordinal));
    }

    [Fact]
    public async Task Removed_and_exchanged_rows_are_named()
    {
        using var bench = await ExportBench.StartAsync();
        var folder = await bench.ExportAsync();
        var lines = (await File.ReadAllTextAsync(Path.Combine(folder, "raw.csv"), Token)).Split("\r\n");
        var port = Array.FindIndex(lines, l => l.StartsWith("port,", StringComparison.Ordinal) && l.Contains(",12006,", StringComparison.Ordinal));

        await WriteAsync(folder, [.. lines[..port], .. lines[(port + 1)..]]);
        var faults = (await bench.CheckAsync(folder)).Faults;
        Assert.Contains(faults, f => f.StartsWith("The poll of quay-west at 2026-11-25T23:21:00.000000Z is not whole in raw.csv: rows 1 are missing (4 of 5 are there)", StringComparison.Ordinal));
        Assert.Contains(faults, f => f.Contains("rows were removed or added", StringComparison.Ordinal));

        await WriteAsync(folder, [.. lines[..(port - 1)], .. lines[(port + 4)..]]);
        Assert.Contains(
            (await bench.CheckAsync(folder)).Faults, f => f.StartsWith("The poll of quay-west at 2026-11-25T23:21:00.000000Z is missing in raw.csv", StringComparison.Ordinal));

        await WriteAsync(folder, [.. lines[..port], lines[port + 1], lines[port], .. lines[(port + 2)..]]);
        Assert.Contains(
            (await bench.CheckAsync(folder)).Faults,
            f => f.Contains("(quay-west:1/1 at 2026-11-25T23:21:00.000000Z) is out of order: it stands behind", StringComparison.Ordinal));
    }

    [Fact]
    public async Task A_removed_leaf_is_named()
    {
        using var bench = await ExportBench.StartAsync();
        var folder = await bench.ExportAsync();
        Tampering.Rewrite(folder, "leaves.jsonl", t => string.Concat(t.Split('\n').Where(l => !l.Contains("\"quay-west\",\"start\":\"2026-11-25T23:30", StringComparison.Ordinal) && l.Length > 0).Select(l => l + "\n")));
        Tampering.FixHashes(folder);
        Tampering.Sign(folder, bench.Key);
        var faults = (await bench.CheckAsync(folder)).Faults;
        Assert.Contains(faults, f => f.StartsWith("Leaves are missing: quay-west between 2026-11-25T23:15", StringComparison.Ordinal));
        Assert.Contains(faults, f => f.Contains("(poll of quay-west at 2026-11-25T23:33:00.000001Z) claims to be sealed, but no leaf covers it", StringComparison.Ordinal));
    }

    [Fact]
    public async Task A_replaced_root_and_another_key_are_named()
    {
        using var bench = await ExportBench.StartAsync();
        var folder = await bench.ExportAsync();
        using var other = ECDsa.Create(ECCurve.NamedCurves.nistP256);
        var faults = (await bench.CheckAsync(folder, key: other)).Faults;
        Assert.Contains(faults, f => f.StartsWith("manifest.sig is of another key", StringComparison.Ordinal));
        Assert.Contains(faults, f => f.StartsWith("The root of 2026-11-25 is signed with another key", StringComparison.Ordinal));

        var root = bench.Seals.Roots[0].Root.ToString();
        Tampering.Rewrite(folder, "roots.json", t => t.Replace(root, HashTree.Empty.ToString(), StringComparison.Ordinal));
        Tampering.FixHashes(folder);
        Tampering.Sign(folder, other);
        faults = (await bench.CheckAsync(folder)).Faults;
        Assert.Contains("The signature of manifest.json does not fit: manifest.json or manifest.sig was changed after it was signed.", faults);
        Assert.Contains("The root of 2026-11-25 was changed: its signature does not fit.", faults);
        Assert.Contains(faults, f => f.StartsWith("The tree of the export does not begin with that of 2026-11-25", StringComparison.Ordinal));
    }

    [Fact]
    public async Task With_an_earlier_root_a_rewrite_by_the_holder_of_the_key_is_found()
    {
        using var bench = await ExportBench.StartAsync();
        var kept = RootFolder.Json(bench.Seals.Roots[0]);
        await bench.GoOnAsync(75, 1_600);
        var honest = await bench.CheckAsync(await bench.ExportAsync(), kept);
        Assert.Empty(honest.Faults);
        Assert.Contains("Whatever was sealed up to 2026-11-25 is as it was when the earlier root was taken.", honest.Summary);

        // The same evening told anew, without one poll: signed with the same key it holds by itself.
        using var rewritten = await ExportBench.StartAsync(key: bench.Key, without: 10);
        await rewritten.GoOnAsync(75, 1_600);
        var forged = await rewritten.ExportAsync();
        Assert.Empty((await rewritten.CheckAsync(forged)).Faults);
        Assert.Contains(
            (await rewritten.CheckAsync(forged, kept)).Faults, f => f.StartsWith("The history was rewritten: the root of 2026-11-25 that was kept is", StringComparison.Ordinal));
    }

    [Fact]
    public async Task A_reading_that_was_changed_in_the_store_after_it_was_sealed_is_found()
    {
        using var bench = await ExportBench.StartAsync();
        var readings = bench.Store.Readings.ToList();
        bench.Store.Clear();
        await bench.Store.AppendAsync([.. readings.Select(r => r.Sequence == 6 && r.PseId == "quay-west" ? r with { Detail = "edited" } : r)], Token);
        Assert.Contains(
            (await bench.CheckAsync(await bench.ExportAsync())).Faults,
            f => f.StartsWith("The leaf of quay-west from 2026-11-25T23:15:00.000000Z (number 2, seal) does not fit its polls", StringComparison.Ordinal));

        bench.Store.Clear();
        await bench.Store.AppendAsync([.. readings.Where(r => r.Sequence != 6)], Token);
        Assert.Contains(
            (await bench.CheckAsync(await bench.ExportAsync())).Faults,
            f => f.Contains("1 are gone while the others are there: they were removed from the history (2026-11-25T23:21:00.000000Z)", StringComparison.Ordinal));
    }

    [Fact]
    public async Task Readings_that_retention_deleted_leave_their_proven_leaves()
    {
        using var bench = await ExportBench.StartAsync();
        bench.Store.Clear();
        var verdict = await bench.CheckAsync(await bench.ExportAsync());
        Assert.Empty(verdict.Faults);
        Assert.Contains(verdict.Notes, n => n.StartsWith("24 sealed polls are no longer in the history", StringComparison.Ordinal));
    }

    [Fact]
    public async Task An_export_without_a_signature_says_so()
    {
        using var bench = await ExportBench.StartAsync(isSigned: false);
        var verdict = await bench.CheckAsync(await bench.ExportAsync());
        Assert.Contains(verdict.Faults, f => f.StartsWith("manifest.sig is missing: the export is not signed", StringComparison.Ordinal));
        Assert.Contains(verdict.Notes, n => n.StartsWith("The root of 2026-11-25 is not signed", StringComparison.Ordinal));
    }

    private static Task WriteAsync(string folder, string[] lines) => File.WriteAllTextAsync(Path.Combine(folder, "raw.csv"), string.Join("\r\n", lines), Token);
}
