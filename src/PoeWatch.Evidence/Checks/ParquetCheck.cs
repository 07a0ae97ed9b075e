using System.Text;
using Parquet;
using PoeWatch.Domain.Evidence;
using PoeWatch.Domain.Evidence.Seals;
using PoeWatch.Evidence.Exports;

namespace PoeWatch.Evidence.Checks;

/// <summary>Checks that each Parquet file says the same as its CSV file, cell by cell.</summary>
internal sealed class ParquetCheck(ExportFiles files, Findings findings)
{
    public async Task CheckAsync(CancellationToken cancellationToken)
    {
        await CompareAsync(EvidenceFiles.RawParquet, EvidenceFiles.Raw, EvidenceColumns.Raw, cancellationToken).ConfigureAwait(false);
        await CompareAsync(EvidenceFiles.QuarterHoursParquet, EvidenceFiles.QuarterHours, EvidenceColumns.QuarterHours, cancellationToken).ConfigureAwait(false);
    }

    private async Task CompareAsync(string parquetName, string csvName, EvidenceColumn[] columns, CancellationToken cancellationToken)
    {
        await using var packed = files.Read(parquetName);
        await using var csv = files.Read(csvName);
        if (packed is null || csv is null)
        {
            return;
        }

        // A Parquet file is read from its end; that of a zip lies in a file of its own meanwhile.
        var path = Path.GetTempFileName();
        try
        {
            await using var file = new FileStream(path, FileMode.Create, FileAccess.ReadWrite);
            await packed.CopyToAsync(file, cancellationToken).ConfigureAwait(false);
            file.Position = 0;
            using var text = new StreamReader(csv, new UTF8Encoding(false, throwOnInvalidBytes: true));
            await CompareAsync(file, parquetName, new CsvRecords(text), csvName, columns, cancellationToken).ConfigureAwait(false);
        }
        catch (Exception broken) when (broken is not OperationCanceledException)
        {
            // A damaged file can break the library in many ways; each means the same.
            findings.Fault($"{parquetName} or {csvName} was changed: they cannot be read and compared ({broken.Message})");
        }
        finally
        {
            File.Delete(path);
        }
    }

    private async Task CompareAsync(
        Stream file, string parquetName, CsvRecords records, string csvName, EvidenceColumn[] columns, CancellationToken cancellationToken)
    {
        records.Read();
        await using var reader = await ParquetReader.CreateAsync(file, cancellationToken: cancellationToken).ConfigureAwait(false);
        for (var group = 0; group < reader.RowGroupCount; group++)
        {
            using var rows = reader.OpenRowGroupReader(group);
            var count = (int)rows.RowCount;
            var cells = new string?[columns.Length][];
            for (var i = 0; i < columns.Length; i++)
            {
                cells[i] = await ColumnAsync(reader, rows, columns[i], count, cancellationToken).ConfigureAwait(false);
            }

            for (var row = 0; row < count; row++)
            {
                if (records.Read() is not { } fields || fields.Count != columns.Length)
                {
                    findings.Fault($"{parquetName} and {csvName} differ: the Parquet file has more rows than the {records.Number - 1} that were compared.");
                    return;
                }

                for (var i = 0; i < columns.Length; i++)
                {
                    if ((cells[i][row] ?? string.Empty) != CsvText.Unguarded(fields[i]))
                    {
                        findings.Fault($"{parquetName} and {csvName} differ in record {records.Number}, {columns[i].Name}: '{cells[i][row]}' and '{fields[i]}'.");
                        return;
                    }
                }
            }
        }

        if (records.Read() is not null)
        {
            findings.Fault($"{parquetName} and {csvName} differ: the Parquet file ends before record {records.Number}.");
        }
    }

    private static async Task<string?[]> ColumnAsync(
        ParquetReader reader, ParquetRowGroupReader rows, EvidenceColumn column, int count, CancellationToken cancellationToken)
    {
        var field = reader.Schema.DataFields.Single(f => f.Name == column.Name);
        switch (column.Kind)
        {
            case ColumnKind.Text:
                var texts = new string?[count];
                await rows.ReadAsync(field, texts.AsMemory(), cancellationToken: cancellationToken).ConfigureAwait(false);
                return texts;
            case ColumnKind.Integer:
                return await TextsAsync<long>(rows, field, count, v => column.Text(v), cancellationToken).ConfigureAwait(false);
            case ColumnKind.Number:
                return await TextsAsync<double>(rows, field, count, v => column.Text(v), cancellationToken).ConfigureAwait(false);
            case ColumnKind.Time:
                return await TextsAsync<DateTime>(
                    rows, field, count, v => EvidenceTime.Write(new DateTimeOffset(DateTime.SpecifyKind(v, DateTimeKind.Utc))), cancellationToken).ConfigureAwait(false);
            default:
                return await TextsAsync<bool>(rows, field, count, v => column.Text(v), cancellationToken).ConfigureAwait(false);
        }
    }

    private static async Task<string?[]> TextsAsync<T>(
        ParquetRowGroupReader rows, Parquet.Schema.DataField field, int count, Func<T, string?> textOf, CancellationToken cancellationToken)
        where T : struct
    {
        var values = new T?[count];
        await rows.ReadAsync<T>(field, values.AsMemory(), cancellationToken: cancellationToken).ConfigureAwait(false);
        return [.. values.Select(v => v is { } known ? textOf(known) : null)];
    }
}
