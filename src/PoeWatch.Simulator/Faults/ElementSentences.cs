using System.Collections.Immutable;
using System.Text.RegularExpressions;
using PoeWatch.Domain.Quantities;
using static PoeWatch.Simulator.Faults.ScriptNumbers;

namespace PoeWatch.Simulator.Faults;

/// <summary>What a script says of cables, of what hangs where, of mains and cabinets.</summary>
internal static partial class ElementSentences
{
    // The worst channel of the standard has 12.5 ohm: what has gained 100 carries nothing.
    private const double MostOhms = 100;

    public static ImmutableArray<ScriptSentence> All { get; } =
    [
        new("segment ID gains 2.5 ohm | gains 0.1 ohm/d | as designed", Segments(), ReadSegment),
        new("device ID swapped for TYPE | as designed", Swaps(), ReadSwap),
        new("devices ID, ID change places", PlaceChanges(), ReadPlaceChange),
        new("device ID asks for class 3 | asks as designed", Asks(), (match, names) =>
            names.Device(match) is { } id ? new DeviceAsks(id, Class(match)) : null),
        new("mains of ID, ID lost | back", Mains(), (match, names) =>
            names.Each(match, names.HasMains) is { } ids ? new MainsPresent(ids, match.Groups["on"].Success) : null),
        new("mains of the site lost | back", SiteMains(), (match, _) => new SiteMainsPresent(match.Groups["on"].Success)),
        new("ups ID on battery | on mains", UpsUnits(), (match, names) =>
            names.Ups(match) is { } id ? new UpsOnBattery(id, match.Groups["battery"].Success) : null),
        new("cabinet of ID at 61 C | by season", Cabinets(), ReadCabinet),
    ];

    private static SimulatedEvent? ReadSegment(Match match, ScriptNames names)
    {
        if (names.Segment(match) is not { } id)
        {
            return null;
        }

        if (!match.Groups["ohms"].Success)
        {
            return new SegmentGains(id, null);
        }

        return Within(0, MostOhms, "ohm", match, "ohms", names) is not { } ohms ? null
            : match.Groups["slow"].Success ? new SegmentCorrodes(id, Resistance.FromOhms(ohms))
            : new SegmentGains(id, Resistance.FromOhms(ohms));
    }

    private static DeviceSwapped? ReadSwap(Match match, ScriptNames names)
    {
        if (names.Device(match) is not { } id)
        {
            return null;
        }

        return !match.Groups["type"].Success ? new DeviceSwapped(id, null)
            : names.DeviceType(match) is { } type ? new DeviceSwapped(id, type)
            : null;
    }

    private static DevicesChangePlaces? ReadPlaceChange(Match match, ScriptNames names) =>
        names.Device(match.Groups["first"].Value) is { } first && names.Device(match.Groups["second"].Value) is { } second
            ? new DevicesChangePlaces((first.Id, first.TypeId, first.LldpName), (second.Id, second.TypeId, second.LldpName))
            : null;

    private static CabinetTemperature? ReadCabinet(Match match, ScriptNames names)
    {
        if (names.Cabinet(match) is not { } id)
        {
            return null;
        }

        if (!match.Groups["celsius"].Success)
        {
            return new CabinetTemperature(id, null);
        }

        return Within(-90, 120, "C", match, "celsius", names) is { } celsius ? new CabinetTemperature(id, Temperature.FromCelsius(celsius)) : null;
    }

    [GeneratedRegex(@"^segment\s+(?<id>\S+)\s+(gains\s+(?<ohms>\d{1,4}(\.\d{1,9})?)\s*ohm(?<slow>/d)?|as\s+designed)$")]
    private static partial Regex Segments();

    [GeneratedRegex(@"^device\s+(?<id>\S+)\s+(swapped\s+for\s+(?<type>\S+)|as\s+designed)$")]
    private static partial Regex Swaps();

    [GeneratedRegex(@"^devices\s+(?<first>[^\s,]+)\s*,\s*(?<second>\S+)\s+change\s+places$")]
    private static partial Regex PlaceChanges();

    [GeneratedRegex(@"^device\s+(?<id>\S+)\s+asks\s+(for\s+class\s+(?<class>[0-8])|as\s+designed)$")]
    private static partial Regex Asks();

    [GeneratedRegex(@"^mains\s+of\s+(?<ids>\S+(\s*,\s*\S+)*)\s+(lost|(?<on>back))$")]
    private static partial Regex Mains();

    [GeneratedRegex(@"^mains\s+of\s+the\s+site\s+(lost|(?<on>back))$")]
    private static partial Regex SiteMains();

    [GeneratedRegex(@"^ups\s+(?<id>\S+)\s+on\s+((?<battery>battery)|mains)$")]
    private static partial Regex UpsUnits();

    [GeneratedRegex(@"^cabinet\s+of\s+(?<id>\S+)\s+(at\s+(?<celsius>-?\d{1,3}(\.\d{1,9})?)\s*C|by\s+season)$")]
    private static partial Regex Cabinets();
}
