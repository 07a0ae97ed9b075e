using System.Collections.Immutable;
using System.Net;
using PoeWatch.Domain.DrawSheets;
using PoeWatch.Monitoring.Polling;
using PoeWatch.Snmp;

namespace PoeWatch.Monitoring.Recordings;

/// <summary>
/// Replaces names, places, people, addresses and serial numbers of a recording by placeholders: the same always by the same, so that what belonged
/// together still does. Numbers and what the equipment is stay. It cannot know everything: read a recording before handing it on. Pure.
/// </summary>
public sealed class Scrubber
{
    /// <summary>enterprises (RFC 1155).</summary>
    private static readonly Oid s_makers = Oid.Parse("1.3.6.1.4.1");

    private readonly ScrubRules _rules;
    private readonly Placeholders _known = new();
    private readonly HashSet<string> _interfaceNames = new(StringComparer.Ordinal);

    private readonly bool _isMakersOnly;

    private Scrubber(SheetBook sheets, bool isMakersOnly) => (_rules, _isMakersOnly) = (new ScrubRules(sheets), isMakersOnly);

    /// <param name="sheets">Their columns stay.</param>
    public static AgentRecording Scrub(AgentRecording recording, SheetBook sheets) => Scrub(recording, sheets, isMakersOnly: false);

    /// <summary>Replaces only the texts of makers' trees: some hold passwords there, and no list tells which.</summary>
    /// <param name="sheets">Their columns stay.</param>
    public static AgentRecording HideMakersTexts(AgentRecording recording, SheetBook sheets) => Scrub(recording, sheets, isMakersOnly: true);

    private static AgentRecording Scrub(AgentRecording recording, SheetBook sheets, bool isMakersOnly)
    {
        ArgumentNullException.ThrowIfNull(recording);
        ArgumentNullException.ThrowIfNull(sheets);
        var scrubber = new Scrubber(sheets, isMakersOnly);
        var (cells, leftOut) = scrubber.All(recording.Cells);
        IEnumerable<MissingPart> missing = leftOut == 0 ? [] : [new MissingPart("several", FormattableString.Invariant($"{leftOut} values whose names or texts may hold addresses were left out"), IsFailure: false)];
        return recording with { Cells = cells, Missing = [.. recording.Missing, .. missing] };
    }

    private (ImmutableArray<VarBind> Cells, int LeftOut) All(ImmutableArray<VarBind> cells)
    {
        _interfaceNames.UnionWith(
            cells.Where(c => c.Oid.StartsWith(PoeOids.InterfaceName) || c.Oid.StartsWith(PoeOids.InterfaceText)).Select(c => c.Value.TryGetText(out var text) ? text : string.Empty));

        // What is kept goes second: by then every name is known that may stand in it.
        var scrubbed = new List<(VarBind Cell, bool IsKept)>();
        foreach (VarBind cell in cells)
        {
            ScrubKind kind = _isMakersOnly && !cell.Oid.StartsWith(s_makers) ? ScrubKind.Kept : _rules.KindOf(cell.Oid);
            if (kind != ScrubKind.LeftOut)
            {
                var isKept = kind == ScrubKind.Kept || IsHarmless(kind, cell.Value);
                scrubbed.Add((isKept ? cell : new VarBind(cell.Oid, Replaced(kind, cell.Value)), isKept));
            }
        }

        return ([.. scrubbed.Select(s => s.IsKept && !_isMakersOnly ? new VarBind(s.Cell.Oid, Cleaned(s.Cell.Value)) : s.Cell)], cells.Length - scrubbed.Count);
    }

    // Of unlisted objects: numbers too short for a serial number, flags of up to two octets, names of interfaces, which LLDP repeats.
    private bool IsHarmless(ScrubKind kind, SnmpValue value) => kind == ScrubKind.Unlisted
        && (value.Type is not (SnmpType.OctetString or SnmpType.Opaque or SnmpType.IpAddress)
            || (value.TryGetText(out var text) && (_interfaceNames.Contains(text) || ScrubForms.IsShortNumber(text)))
            || (value.Type == SnmpType.OctetString && value.TryGetOctets(out ReadOnlySpan<byte> octets) && octets.Length <= 2));

    private SnmpValue Replaced(ScrubKind kind, SnmpValue value)
    {
        if (!value.TryGetOctets(out ReadOnlySpan<byte> octets) || octets.IsEmpty)
        {
            return value;
        }

        if (value.Type == SnmpType.IpAddress)
        {
            return SnmpValue.IpAddress(_known.Address(new IPAddress(octets)));
        }

        if (value.Type == SnmpType.Opaque)
        {
            return SnmpValue.Opaque(new byte[octets.Length]);
        }

        var isMac = kind == ScrubKind.Mac && octets.Length == 6;
        return !isMac && value.TryGetText(out var text) && !text.Any(char.IsControl)
            ? SnmpValue.Text(ReplacedText(kind, text))
            : SnmpValue.Octets(ReplacedOctets(octets));
    }

    private string ReplacedText(ScrubKind kind, string text) =>
        ScrubForms.Mac(text) is { } mac ? ScrubForms.InFormOf(text, _known.Mac(mac))
        : IPAddress.TryParse(text, out IPAddress? address) && text.Any(c => c is '.' or ':') ? _known.Address(address).ToString()
        : _known.Text(kind, text);

    private byte[] ReplacedOctets(ReadOnlySpan<byte> octets) => octets switch
    {
        { Length: 6 } => _known.Mac(Convert.ToHexStringLower(octets)),
        { Length: 4 or 16 } => _known.Address(new IPAddress(octets)).GetAddressBytes(),

        // An address with its family before it (IEEE 802.1AB, networkAddress): 1 is IPv4, 2 is IPv6.
        [1, _, _, _, _] => [1, .. _known.Address(new IPAddress(octets[1..])).GetAddressBytes()],
        [2, ..] when octets.Length == 17 => [2, .. _known.Address(new IPAddress(octets[1..])).GetAddressBytes()],
        _ => new byte[octets.Length],
    };

    private SnmpValue Cleaned(SnmpValue value) => value.TryGetText(out var text) && text.Length > 0 && _known.CleanText(text) is var clean && clean != text ? SnmpValue.Text(clean) : value;
}
