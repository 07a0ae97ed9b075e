using System.Security.Cryptography;
using System.Text;
using System.Text.Json;
using PoeWatch.Domain.Evidence.Seals;
using PoeWatch.Monitoring.Abstractions;
using PoeWatch.Monitoring.Sealing;
using PoeWatch.Monitoring.Service;

namespace PoeWatch.Evidence.Exports;

/// <summary>The seams that an export reads.</summary>
public sealed record EvidenceSources(
    IHistoryStore History, IPortHistory Ports, IRollupStore Rollups, ISealStore Seals, ILateMarkStore Marks, IAlarmStore Alarms, IConditionStore Conditions,
    IAgentChangeStore AgentChanges, IMaintenanceStore Maintenance, IDesignStore Designs, IDesignSource DesignSource, ISiteView Site);

/// <summary>Writes exports of evidence. Thread safe.</summary>
/// <param name="clock">What was seen of the clock's steps; empty where none was.</param>
public sealed class EvidenceExports(EvidenceSources sources, IEvidenceSigner signer, ServiceIdentity identity, Func<string> clock, TimeProvider time) : IEvidenceExports
{
    public async Task<string?> WriteAsync(EvidenceRequest request, string folder, CancellationToken cancellationToken)
    {
        var from = SealInterval.StartOf(request.From);
        var to = SealInterval.StartOf(request.To.AddTicks(-1)) + SealInterval.Length;
        var designs = await DesignTimeline.ReadAsync(sources.Designs, sources.DesignSource, from, to, cancellationToken).ConfigureAwait(false);
        var subject = EvidenceSubject.Of(request.Scope, designs, await KnownElementsAsync(from, cancellationToken).ConfigureAwait(false), out var problem);
        if (subject is null)
        {
            return problem;
        }

        // The tree may grow meanwhile: everything is proven against the size that it has now.
        var state = await sources.Seals.ReadSealStateAsync(cancellationToken).ConfigureAwait(false);
        var tree = new TreeReader(sources.Seals);
        var root = (await tree.FrontierAsync(state.Size, cancellationToken).ConfigureAwait(false)).Root();
        var counts = new ExportCounts();
        await WriteRowsAsync(folder, subject, designs, tree, state.Size, from, to, counts, cancellationToken).ConfigureAwait(false);
        await WriteQuarterHoursAsync(folder, subject, designs, from, to, counts, cancellationToken).ConfigureAwait(false);
        await new EventTables(sources, folder).WriteAsync(designs, from, to, cancellationToken).ConfigureAwait(false);
        await WriteRootsAsync(folder, tree, state.Size, root, cancellationToken).ConfigureAwait(false);
        var design = sources.Site.Current.Design;
        var manifest = new ManifestDocument(
            EvidenceJson.ManifestFormat, identity.Version, EvidenceTime.Write(time.GetUtcNow()), PeriodOf(request.From, request.To), PeriodOf(from, to),
            request.Scope.Kind, request.Scope.Id, design.Site.Name, design.Site.TimeZoneId, clock() is { Length: > 0 } step ? step : "no step seen since the start",
            new CountsDocument(counts.Polls, counts.Rows, counts.UnsealedPolls, counts.Leaves, counts.DeletedPolls, counts.QuarterHours, counts.Gaps),
            state.Size, root.ToString(), signer.KeyId, []);
        await WriteManifestAsync(folder, manifest, cancellationToken).ConfigureAwait(false);
        return null;
    }

    private static PeriodDocument PeriodOf(DateTimeOffset from, DateTimeOffset to) => new(EvidenceTime.Write(from), EvidenceTime.Write(to));

    // Elements that left every design before the period may still have answers in it, and leaves.
    private async Task<List<string>> KnownElementsAsync(DateTimeOffset from, CancellationToken cancellationToken)
    {
        var latest = await sources.History.ReadLatestAsync(cancellationToken).ConfigureAwait(false);
        var leaves = await sources.Marks.ReadSealedElementsAsync(cancellationToken).ConfigureAwait(false);
        return [.. latest.Where(r => r.At >= from).Select(r => r.PseId), .. leaves];
    }

    private async Task WriteRowsAsync(
        string folder, EvidenceSubject subject, DesignTimeline designs, TreeReader tree, long size, DateTimeOffset from, DateTimeOffset to, ExportCounts counts,
        CancellationToken cancellationToken)
    {
        await using var csv = new CsvTable(Path.Combine(folder, EvidenceFiles.Raw), EvidenceColumns.Raw);
        await using var parquet = await ParquetTable.CreateAsync(Path.Combine(folder, EvidenceFiles.RawParquet), EvidenceColumns.Raw, cancellationToken).ConfigureAwait(false);
        await using var leaves = NewText(Path.Combine(folder, EvidenceFiles.Leaves));
        var rows = new LeafRows(sources.History, sources.Seals, tree, size, designs, subject, [csv, parquet], leaves, counts);
        foreach (var pseId in subject.Elements)
        {
            await rows.WriteAsync(pseId, from, to, cancellationToken).ConfigureAwait(false);
        }
    }

    private async Task WriteQuarterHoursAsync(
        string folder, EvidenceSubject subject, DesignTimeline designs, DateTimeOffset from, DateTimeOffset to, ExportCounts counts, CancellationToken cancellationToken)
    {
        await using var csv = new CsvTable(Path.Combine(folder, EvidenceFiles.QuarterHours), EvidenceColumns.QuarterHours);
        await using var parquet = await ParquetTable.CreateAsync(
            Path.Combine(folder, EvidenceFiles.QuarterHoursParquet), EvidenceColumns.QuarterHours, cancellationToken).ConfigureAwait(false);
        await using var gaps = new CsvTable(Path.Combine(folder, EvidenceFiles.Gaps), EvidenceColumns.Gaps);
        var rows = new QuarterHourRows(sources.History, designs, subject, [csv, parquet], gaps, counts, time.GetUtcNow());
        foreach (var pseId in subject.Elements)
        {
            await rows.WriteAsync(pseId, from, to, cancellationToken).ConfigureAwait(false);
        }

        foreach (var (cableRunId, poleIds) in subject.Unmetered)
        {
            await gaps.AddAsync(
                [SealInterval.MicrosecondsOf(from), SealInterval.MicrosecondsOf(to), null, cableRunId, poleIds, "unmetered"], cancellationToken).ConfigureAwait(false);
            counts.Gaps++;
        }
    }

    private async Task WriteRootsAsync(string folder, TreeReader tree, long size, Digest root, CancellationToken cancellationToken)
    {
        var days = new List<DayDocument>();
        foreach (var day in (await sources.Seals.ReadRootsAsync(cancellationToken).ConfigureAwait(false)).Where(d => d.Size <= size))
        {
            var proof = await tree.ConsistencyAsync(day.Size, size, cancellationToken).ConfigureAwait(false);
            days.Add(new DayDocument(day.Text, day.KeyId, day.Signature, [.. proof.Select(p => p.ToString())]));
        }

        await using var file = File.Create(Path.Combine(folder, EvidenceFiles.Roots));
        await JsonSerializer.SerializeAsync(
            file, new RootsDocument(EvidenceJson.RootsFormat, size, root.ToString(), [.. days]), EvidenceJson.Pages, cancellationToken).ConfigureAwait(false);
    }

    private async Task WriteManifestAsync(string folder, ManifestDocument manifest, CancellationToken cancellationToken)
    {
        var files = new List<FileDocument>();
        foreach (var path in Directory.EnumerateFiles(folder, "*", SearchOption.AllDirectories))
        {
            await using var file = File.OpenRead(path);
            var hash = await SHA256.HashDataAsync(file, cancellationToken).ConfigureAwait(false);
            files.Add(new FileDocument(Path.GetRelativePath(folder, path).Replace('\\', '/'), file.Length, Convert.ToHexStringLower(hash)));
        }

        var bytes = JsonSerializer.SerializeToUtf8Bytes(manifest with { Files = [.. files.OrderBy(f => f.Name, StringComparer.Ordinal)] }, EvidenceJson.Pages);
        await File.WriteAllBytesAsync(Path.Combine(folder, EvidenceFiles.Manifest), bytes, cancellationToken).ConfigureAwait(false);
        if (signer.Sign(bytes) is { } signature)
        {
            await File.WriteAllBytesAsync(Path.Combine(folder, EvidenceFiles.Signature), signature, cancellationToken).ConfigureAwait(false);
        }
    }

    private static StreamWriter NewText(string path) =>
        new(new FileStream(path, FileMode.CreateNew, FileAccess.Write), new UTF8Encoding(encoderShouldEmitUTF8Identifier: false));
}
