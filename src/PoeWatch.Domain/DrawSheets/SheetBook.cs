using System.Collections.Immutable;

namespace PoeWatch.Domain.DrawSheets;

/// <summary>All sheets that the service knows, the operator's own first. Immutable.</summary>
public sealed class SheetBook
{
    private readonly ImmutableArray<DrawSheet> _sheets;

    /// <param name="sheets">Shipped and own; an own sheet replaces a shipped one of its name.</param>
    public SheetBook(IEnumerable<DrawSheet> sheets)
    {
        DrawSheet[] all = [.. sheets];
        var own = all.Where(sheet => sheet.IsOwn).Select(sheet => sheet.Name).ToHashSet(StringComparer.Ordinal);
        _sheets = [.. all.Where(sheet => sheet.IsOwn || !own.Contains(sheet.Name)).OrderByDescending(sheet => sheet.IsOwn).ThenBy(sheet => sheet.Name, StringComparer.Ordinal)];
    }

    /// <summary>A book without a sheet.</summary>
    public static SheetBook Empty { get; } = new([]);

    /// <summary>Own sheets first, then by name.</summary>
    public ImmutableArray<DrawSheet> Sheets => _sheets;

    /// <summary>
    /// Sheets worth trying on an agent, best first: those that name its sysObjectID, the longest beginning first; then those of the maker of
    /// the sysObjectID, and those of any maker, because equipment is sold under other names. A sheet that names other agents only is left out.
    /// </summary>
    public ImmutableArray<DrawSheet> For(string objectId)
    {
        var maker = ObjectIdentifiers.Enterprise(objectId);
        return
        [
            .. from sheet in _sheets
               let named = sheet.ObjectIds.Where(id => ObjectIdentifiers.IsUnder(objectId, id)).Select(id => id.Length).DefaultIfEmpty(0).Max()
               where sheet.ObjectIds.IsEmpty || named > 0
               let isMaker = maker.Length > 0 && sheet.Columns.Any(column => ObjectIdentifiers.Enterprise(column.Oid) == maker)
               orderby sheet.IsOwn descending, named descending, isMaker descending
               select sheet,
        ];
    }
}
