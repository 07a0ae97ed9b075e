using System.Text;
using PoeWatch.Domain.Evidence;

namespace PoeWatch.Evidence.Exports;

/// <summary>One table of an export, written row by row. Not thread safe.</summary>
internal interface IEvidenceTable : IAsyncDisposable
{
    /// <summary>Appends a row: one value for each column, as its kind wants it.</summary>
    ValueTask AddAsync(object?[] row, CancellationToken cancellationToken);
}

/// <summary>A table as CSV (RFC 4180, UTF-8 without a mark), with the names of the columns first.</summary>
internal sealed class CsvTable : IEvidenceTable
{
    private const int PieceCharacters = 32 * 1024;

    private readonly EvidenceColumn[] _columns;
    private readonly StreamWriter _writer;
    private readonly StringBuilder _piece = new(PieceCharacters + 1_024);

    public CsvTable(string path, EvidenceColumn[] columns)
    {
        _columns = columns;
        _writer = new StreamWriter(new FileStream(path, FileMode.CreateNew, FileAccess.Write), new UTF8Encoding(encoderShouldEmitUTF8Identifier: false));
        CsvText.AppendRecord(_piece, [.. columns.Select(c => c.Name)]);
    }

    public async ValueTask AddAsync(object?[] row, CancellationToken cancellationToken)
    {
        CsvText.AppendRecord(_piece, [.. row.Select((value, at) => _columns[at].Text(value))]);
        if (_piece.Length >= PieceCharacters)
        {
            await _writer.WriteAsync(_piece, cancellationToken).ConfigureAwait(false);
            _piece.Clear();
        }
    }

    public async ValueTask DisposeAsync()
    {
        await _writer.WriteAsync(_piece).ConfigureAwait(false);
        await _writer.DisposeAsync().ConfigureAwait(false);
    }
}
