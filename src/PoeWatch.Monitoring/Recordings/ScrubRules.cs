using System.Collections.Frozen;
using PoeWatch.Domain.DrawSheets;
using PoeWatch.Snmp;

namespace PoeWatch.Monitoring.Recordings;

/// <summary>What becomes of the octets of an object when a recording is scrubbed.</summary>
internal enum ScrubKind
{
    /// <summary>Nobody knows what stands there: replaced, unless it is a short number or the name of an interface.</summary>
    Unlisted = 0,

    /// <summary>What the equipment is: stays, except for what was replaced elsewhere, and addresses.</summary>
    Kept,
    Name,
    Place,
    Contact,
    Serial,

    /// <summary>Six octets that are an address even where they could be text.</summary>
    Mac,

    /// <summary>Addresses stand in the names of its instances, or anything at all in its values: the whole cell goes.</summary>
    LeftOut,
}

/// <summary>Which objects hold names, places, people, serial numbers and addresses. What is not listed counts as if it did. Pure.</summary>
internal sealed class ScrubRules
{
    private static readonly (ScrubKind Kind, string[] Objects)[] s_listed =
    [
        // sysDescr, sysORTable, ifDescr, ifName; of UPS-MIB manufacturer, model and software; of ENTITY-MIB description, name, revisions, manufacturer and
        // model; units of ENTITY-SENSOR-MIB; of LLDP its own description and capabilities.
        (ScrubKind.Kept,
        [
            "1.3.6.1.2.1.1.1", "1.3.6.1.2.1.1.9", "1.3.6.1.2.1.2.2.1.2", "1.3.6.1.2.1.31.1.1.1.1", "1.3.6.1.2.1.33.1.1.1", "1.3.6.1.2.1.33.1.1.2",
            "1.3.6.1.2.1.33.1.1.3", "1.3.6.1.2.1.33.1.1.4", "1.3.6.1.2.1.47.1.1.1.1.2", "1.3.6.1.2.1.47.1.1.1.1.7", "1.3.6.1.2.1.47.1.1.1.1.8",
            "1.3.6.1.2.1.47.1.1.1.1.9", "1.3.6.1.2.1.47.1.1.1.1.10", "1.3.6.1.2.1.47.1.1.1.1.12", "1.3.6.1.2.1.47.1.1.1.1.13", "1.3.6.1.2.1.99.1.1.1.6",
            "1.0.8802.1.1.2.1.3.4", "1.0.8802.1.1.2.1.3.5", "1.0.8802.1.1.2.1.3.6", "1.0.8802.1.1.2.1.4.1.1.11", "1.0.8802.1.1.2.1.4.1.1.12",
            "1.3.111.2.802.1.1.13.1.3.4", "1.3.111.2.802.1.1.13.1.3.5", "1.3.111.2.802.1.1.13.1.3.6", "1.3.111.2.802.1.1.13.1.4.1.1.12", "1.3.111.2.802.1.1.13.1.4.1.1.13",
        ]),

        // sysName, ifAlias, upsIdentName and what is attached, entPhysicalAlias, chassis ids and system names of LLDP.
        (ScrubKind.Name,
        [
            "1.3.6.1.2.1.1.5", "1.3.6.1.2.1.31.1.1.1.18", "1.3.6.1.2.1.33.1.1.5", "1.3.6.1.2.1.33.1.1.6", "1.3.6.1.2.1.47.1.1.1.1.14", "1.0.8802.1.1.2.1.3.2",
            "1.0.8802.1.1.2.1.3.3", "1.0.8802.1.1.2.1.4.1.1.5", "1.0.8802.1.1.2.1.4.1.1.9", "1.3.111.2.802.1.1.13.1.3.2", "1.3.111.2.802.1.1.13.1.3.3",
            "1.3.111.2.802.1.1.13.1.4.1.1.6", "1.3.111.2.802.1.1.13.1.4.1.1.10",
        ]),
        (ScrubKind.Contact, ["1.3.6.1.2.1.1.4"]),
        (ScrubKind.Place, ["1.3.6.1.2.1.1.6"]),

        // entPhysicalSerialNum and entPhysicalAssetID; serial number and asset id of the LLDP-MED inventory.
        (ScrubKind.Serial, ["1.3.6.1.2.1.47.1.1.1.1.11", "1.3.6.1.2.1.47.1.1.1.1.15", "1.0.8802.1.1.2.1.5.4795.1.3.3.1.5", "1.0.8802.1.1.2.1.5.4795.1.3.3.1.8"]),
        (ScrubKind.Mac, ["1.3.6.1.2.1.2.2.1.6", "1.3.6.1.2.1.17.1.1"]),

        // Tables of addresses, routes, connections and forwarding; management addresses, unknown and organisational TLVs and locations of LLDP.
        (ScrubKind.LeftOut,
        [
            "1.3.6.1.2.1.3", "1.3.6.1.2.1.4", "1.3.6.1.2.1.6", "1.3.6.1.2.1.7", "1.3.6.1.2.1.14", "1.3.6.1.2.1.15", "1.3.6.1.2.1.55", "1.3.6.1.2.1.17.4.3",
            "1.3.6.1.2.1.17.7.1.2", "1.3.6.1.2.1.17.7.1.3", "1.3.6.1.6.3.10", "1.0.8802.1.1.2.1.3.8", "1.0.8802.1.1.2.1.4.2", "1.0.8802.1.1.2.1.4.3", "1.0.8802.1.1.2.1.4.4",
            "1.0.8802.1.1.2.1.5.4795.1.2.4", "1.0.8802.1.1.2.1.5.4795.1.3.4", "1.3.111.2.802.1.1.13.1.3.8", "1.3.111.2.802.1.1.13.1.4.2", "1.3.111.2.802.1.1.13.1.4.3",
            "1.3.111.2.802.1.1.13.1.4.4",
        ]),
    ];

    private readonly FrozenDictionary<Oid, ScrubKind> _kinds;

    /// <param name="sheets">Their columns stay: numbers written as text stand there.</param>
    public ScrubRules(SheetBook sheets)
    {
        Dictionary<Oid, ScrubKind> kinds = sheets.Sheets.SelectMany(sheet => sheet.Columns).Select(column => Oid.Parse(column.Oid)).Distinct().ToDictionary(oid => oid, _ => ScrubKind.Kept);
        foreach (var (kind, objects) in s_listed)
        {
            foreach (var listed in objects)
            {
                kinds[Oid.Parse(listed)] = kind;
            }
        }

        _kinds = kinds.ToFrozenDictionary();
    }

    /// <summary>What the longest listed beginning of the name says.</summary>
    public ScrubKind KindOf(Oid oid)
    {
        Span<uint> arcs = stackalloc uint[Oid.MaxSubIdentifiers];
        for (var count = oid.CopyTo(arcs); count >= 2; count--)
        {
            if (_kinds.TryGetValue(Oid.From(arcs[..count]), out ScrubKind kind))
            {
                return kind;
            }
        }

        return ScrubKind.Unlisted;
    }
}
