using System.Collections.Immutable;
using PoeWatch.DesignFiles.Reading;
using PoeWatch.Domain.DrawSheets;

namespace PoeWatch.DesignFiles.Sheets;

/// <summary>Reads the keys of a draw sheet.</summary>
internal static class SheetReader
{
    public static ImmutableDictionary<string, ImmutableArray<string>> Sections { get; } = new Dictionary<string, ImmutableArray<string>>
    {
        ["draw-sheet"] = ["format", "name", "mib", "source", "fits", "columns", "class-coding", "exceptions"],
        ["column"] = ["holds", "oid", "unit", "index", "type"],
        ["exception"] = ["object-id", "description-has", "draw-is", "source"],
    }.ToImmutableDictionary(StringComparer.Ordinal);

    public static DrawSheetConfig Read(MapReader map) => new(map.At)
    {
        Format = map.Text("format"),
        Name = map.Text("name"),
        Mib = map.Text("mib"),
        Source = map.Text("source"),
        Fits = map.Texts("fits"),
        ClassCoding = map.Text("class-coding"),
        Columns = map.Maps("columns", "column", ReadColumn),
        Exceptions = map.Maps("exceptions", "exception", ReadException),
    };

    private static SheetColumnConfig ReadColumn(MapReader map) => new(map.At)
    {
        Holds = map.Text("holds"),
        Oid = map.Text("oid"),
        Unit = map.Text("unit"),
        Index = map.Text("index"),
        Type = map.Text("type"),
    };

    private static SheetExceptionConfig ReadException(MapReader map) => new(map.At)
    {
        ObjectId = map.Text("object-id"),
        DescriptionHas = map.Text("description-has"),
        DrawIs = map.Text("draw-is"),
        Source = map.Text("source"),
    };
}
