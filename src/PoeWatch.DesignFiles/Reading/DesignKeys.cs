using System.Collections.Immutable;

namespace PoeWatch.DesignFiles.Reading;

/// <summary>The keys of a design file by section: the one list that reader, hints and the test of the published schema share.</summary>
public static class DesignKeys
{
    // What a cable is made of and how it hangs: at each cable, or once for all.
    private static readonly ImmutableArray<string> Installation =
    [
        "gauge-awg", "category", "material", "conductor-c", "ambient-c", "sun-heated", "rated-c", "cord-length-m", "cord-gauge-awg", "cord-loop-ohm", "cord-c",
        "contacts", "contact-ohm", "bundled-cables", "pair-unbalance-percent", "pairset-limit-a", "screened",
    ];

    /// <summary>The section that is no part of a design: the top of a file in the folder of device types.</summary>
    public const string TypeFile = "device-type-file";

    /// <summary>Sections in the order of the documentation; the first is the file's top.</summary>
    public static ImmutableDictionary<string, ImmutableArray<string>> Sections { get; } = new Dictionary<string, ImmutableArray<string>>
    {
        ["design"] =
        [
            "format", "site", "headroom", "switches", "ups", "injectors", "extenders", "pass-through-switches", "cable-defaults", "cables", "cables-csv", "poles",
            "device-types", "devices", "devices-csv", "load-cases", "standard-load-cases", "conditions", "port-schedules", "maintenance",
        ],
        ["site"] = ["name", "time-zone", "coordinates"],
        ["coordinates"] = ["latitude-deg", "longitude-deg"],
        ["headroom"] = ["at-run", "at-port", "at-group", "at-supply"],
        ["headroom-levels"] = ["early-w", "early-percent", "late-w", "late-percent"],
        ["switch"] = ["id", "name", "address", "credentials", "poll-period", "answers-from", "draw-column", "pole", "uplink", "groups", "ports"],
        ["draw-column"] = ["oid", "unit", "index"],
        ["uplink"] = ["switch", "medium", "length-m"],
        ["group"] =
        [
            "group", "port-count", "budget-w", "guard-band-w", "allocation", "redundancy", "own-draw-w", "supply-efficiency-percent", "supplies",
            "starts-at-once", "start-interval-s",
        ],
        ["supply"] = ["id", "rating-w"],
        ["ups-unit"] =
        [
            "id", "name", "feeds", "usable-wh", "inverter-efficiency-percent", "battery-health-percent", "other-load-w", "wanted-runtime-min", "agent",
        ],
        ["ups-agent"] = ["address", "credentials", "poll-period", "answers-from"],
        ["port"] = ["port", "limit-w", "class", "type", "criticality", "upgrade", "vlan"],
        ["upgrade"] = ["limit-w", "due"],
        ["injector"] = ["id", "name", "kind", "rating-w", "output-v", "type", "data-side", "data-side-length-m", "agent", "agent-port", "source"],
        ["agent"] = ["address", "credentials", "poll-period", "answers-from", "draw-column"],
        ["extender"] = ["id", "name", "kind", "pole", "input-limit-w", "own-draw-w", "outputs", "output-limit-w", "source"],
        ["pass-through-switch"] =
        [
            "id", "name", "kind", "pole", "input-limit-w", "own-draw-w", "efficiency-percent", "output-v", "outputs", "output-limit-w",
            "total-limit-w", "agent", "source",
        ],
        ["cable"] = ["id", "from", "to", "length-m", "pairs", "measured-loop-ohm", "measured-at-c", .. Installation],
        ["cable-defaults"] = Installation,
        ["pole"] = ["id", "name", "coordinates"],
        ["device-type"] =
        [
            "id", "name", "class", "demand-w", "extended-power", "demands-w", "idle-w", "typical-w", "peak-w", "adds-w", "takes-w", "heater-starts-c", "boot-peak-w", "boot-s",
            "source",
        ],
        ["device"] = ["id", "name", "type", "pole", "criticality", "paging-group", "lldp-name"],
        ["load-case"] = ["id", "name", "hours", "months", "conditions", "ambient-c", "coincidence"],
        ["conditions"] = ["dark-below-deg", "cold-below-c", "climate", "wet-months", "thermometers"],
        ["climate"] = ["coldest-c", "warmest-c"],
        ["thermometer"] = ["id", "agent", "physical-index", "physical-name", "cabinet"],
        ["port-schedule"] = ["id", "ports", "off"],
        ["maintenance-window"] = ["id", "scope", "from", "to", "who", "reason"],
        [TypeFile] = ["format", "device-type", "extender", "pass-through-switch", "injector"],
    }.ToImmutableDictionary(StringComparer.Ordinal);

    /// <summary>Keys that would carry a secret: a design never does.</summary>
    internal static ImmutableHashSet<string> Secrets { get; } = ImmutableHashSet.Create(
        StringComparer.OrdinalIgnoreCase,
        "community", "password", "passphrase", "secret", "token", "key", "user", "username", "auth-password", "priv-password", "auth-key", "priv-key");
}
