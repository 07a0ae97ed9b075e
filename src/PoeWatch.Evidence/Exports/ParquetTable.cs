using Parquet;
using Parquet.Schema;
using PoeWatch.Domain.Evidence.Seals;

namespace PoeWatch.Evidence.Exports;

/// <summary>The same table as Parquet, a row group at a time, so that memory is bounded.</summary>
internal sealed class ParquetTable : IEvidenceTable
{
    private const int GroupRows = 20_000;

    private readonly EvidenceColumn[] _columns;
    private readonly DataField[] _fields;
    private readonly List<object?[]> _rows = [];
    private readonly FileStream _file;
    private readonly ParquetWriter _writer;

    private ParquetTable(EvidenceColumn[] columns, DataField[] fields, FileStream file, ParquetWriter writer) =>
        (_columns, _fields, _file, _writer) = (columns, fields, file, writer);

    public static async Task<ParquetTable> CreateAsync(string path, EvidenceColumn[] columns, CancellationToken cancellationToken)
    {
        DataField[] fields = [.. columns.Select(FieldOf)];
        var file = new FileStream(path, FileMode.CreateNew, FileAccess.ReadWrite);
        var options = new ParquetOptions { CompressionMethod = CompressionMethod.Gzip };
        var writer = await ParquetWriter.CreateAsync(new ParquetSchema(fields.Cast<Field>()), file, options, cancellationToken: cancellationToken).ConfigureAwait(false);
        return new ParquetTable(columns, fields, file, writer);
    }

    public async ValueTask AddAsync(object?[] row, CancellationToken cancellationToken)
    {
        _rows.Add(row);
        if (_rows.Count == GroupRows)
        {
            await FlushAsync().ConfigureAwait(false);
        }
    }

    public async ValueTask DisposeAsync()
    {
        await FlushAsync().ConfigureAwait(false);
        await _writer.DisposeAsync().ConfigureAwait(false);
        await _file.DisposeAsync().ConfigureAwait(false);
    }

    internal static DataField FieldOf(EvidenceColumn column) => column.Kind switch
    {
        ColumnKind.Text => new DataField(column.Name, typeof(string), isNullable: true),
        ColumnKind.Integer => new DataField<long?>(column.Name),
        ColumnKind.Number => new DataField<double?>(column.Name),
        ColumnKind.Time => new DateTimeDataField(column.Name, DateTimeFormat.Timestamp, isAdjustedToUTC: true, unit: DateTimeTimeUnit.Micros, isNullable: true),
        _ => new DataField<bool?>(column.Name),
    };

    private async Task FlushAsync()
    {
        if (_rows.Count == 0)
        {
            return;
        }

        using var group = _writer.CreateRowGroup();
        for (var i = 0; i < _columns.Length; i++)
        {
            var at = i;
            Task written = _columns[i].Kind switch
            {
                ColumnKind.Text => group.WriteAsync(_fields[i], _rows.Select(r => (string)r[at]!).ToArray()),
                ColumnKind.Integer => group.WriteAsync<long>(_fields[i], _rows.Select(r => (long?)r[at]).ToArray().AsMemory()),
                ColumnKind.Number => group.WriteAsync<double>(_fields[i], _rows.Select(r => (double?)r[at]).ToArray().AsMemory()),
                ColumnKind.Time => group.WriteAsync<DateTime>(
                    _fields[i], _rows.Select(r => r[at] is long time ? (DateTime?)SealInterval.TimeOf(time).UtcDateTime : null).ToArray().AsMemory()),
                _ => group.WriteAsync<bool>(_fields[i], _rows.Select(r => (bool?)r[at]).ToArray().AsMemory()),
            };
            await written.ConfigureAwait(false);
        }

        _rows.Clear();
    }
}
