using System.Collections.Immutable;

namespace PoeWatch.Domain.DrawSheets;

/// <summary>What one maker's agents offer of watts per port, as data. Immutable; built by <see cref="DrawSheetBuilder"/> only.</summary>
/// <param name="Name">Short name; a sheet of the operator's own replaces a shipped one of the same name.</param>
/// <param name="Mib">Module that defines the columns.</param>
/// <param name="Source">Where the numbers were read.</param>
/// <param name="ObjectIds">Beginnings of sysObjectID that it fits; empty: the presence of its columns decides alone.</param>
/// <param name="Columns">At most one for each <see cref="SheetQuantity"/>.</param>
/// <param name="ClassCoding">How a <see cref="SheetQuantity.PortClass"/> column writes classes.</param>
/// <param name="Exceptions">Agents whose draw column is something else.</param>
/// <param name="IsOwn">True for a sheet of the operator's own: it stands above the shipped ones.</param>
public sealed record DrawSheet(
    string Name,
    string Mib,
    string Source,
    ImmutableArray<string> ObjectIds,
    ImmutableArray<SheetColumn> Columns,
    ClassCoding ClassCoding,
    ImmutableArray<SheetException> Exceptions,
    bool IsOwn)
{
    /// <summary>The column of that quantity, or null.</summary>
    public SheetColumn? Column(SheetQuantity holds) => Columns.FirstOrDefault(column => column.Holds == holds);
}

/// <summary>One column of a sheet.</summary>
/// <param name="Oid">Column in dotted numbers, without the index.</param>
/// <param name="IsText">True where the agent writes the number as text.</param>
public sealed record SheetColumn(SheetQuantity Holds, string Oid, SheetUnit Unit, SheetIndex Index, bool IsText);

/// <summary>Agents for which the draw column is no measurement.</summary>
/// <param name="ObjectId">Beginning of sysObjectID, or empty.</param>
/// <param name="DescriptionHas">Words that sysDescr holds, or empty.</param>
/// <param name="Source">Where that was read.</param>
public sealed record SheetException(string ObjectId, string DescriptionHas, string Source)
{
    /// <summary>True where the agent is one of these.</summary>
    public bool Covers(string objectId, string description) =>
        (ObjectId.Length == 0 || ObjectIdentifiers.IsUnder(objectId, ObjectId))
        && (DescriptionHas.Length == 0 || description.Contains(DescriptionHas, StringComparison.Ordinal));
}
