namespace PoeWatch.DesignFiles.Tests;

/// <summary>A valid design that uses every key, and single faults that are put into it.</summary>
internal static class Faults
{
    /// <summary>Valid, with one warning (the promised upgrade of port 1/4).</summary>
    public static string Whole { get; } = """
        format: poewatch-design/1
        site:
          name: Ferry landing
          time-zone: UTC
          coordinates: {latitude-deg: 57.05, longitude-deg: -7.94}
        headroom:
          at-run: {early-w: 5, early-percent: 15, late-w: 2, late-percent: 5}
          at-port: {early-w: 5, late-w: 2}
          at-group: {early-percent: 20, late-percent: 10}
          at-supply: {early-percent: 20, late-percent: 10}
        load-cases:
          - {id: day, name: By day, hours: "07:00-19:00"}
          - {id: frost, hours: "17:00-08:00", months: [11, 12, 1], conditions: [dark, cold], ambient-c: -12, coincidence: {dark: 0.8}}
        standard-load-cases: [paging-one, cold-start]
        device-types:
          - {id: camera, name: Camera, class: 3, demand-w: 9, extended-power: no, demands-w: {frost: 12}}
          - {id: ptz, class: 6, demand-w: 45}
          - {id: dome, class: 4, idle-w: 9, typical-w: 12, peak-w: 25, adds-w: {dark: 3, cold: 8}, takes-w: {paging: 14}, heater-starts-c: 3, boot-peak-w: 16, boot-s: 40, source: made up}
        poles:
          - {id: mast, name: Mast, coordinates: {latitude-deg: 57.05, longitude-deg: -7.94}}
        switches:
          - id: west
            name: West
            address: 192.0.2.10:161
            credentials: read-only
            poll-period: 30s
            answers-from: [192.0.2.20, 192.0.2.21]
            draw-column: {oid: 1.3.111.2.802.3.1.8.1.1.1.15, unit: milliwatt, index: group-and-port}
            groups:
              - {group: 1, port-count: 24, budget-w: 720, guard-band-w: 10, allocation: by-limit, supplies: [{id: supply-a, rating-w: 800}], redundancy: all-needed, own-draw-w: 60, supply-efficiency-percent: 88, starts-at-once: 2, start-interval-s: 0.5}
            ports:
              - {port: 1/3, limit-w: 90, class: 8, type: 4, criticality: high, vlan: 30}
              - {port: 1/4, limit-w: 30, upgrade: {limit-w: 60, due: 2027-03-31}}
          - id: east
            address: 192.0.2.11
            pole: mast
            uplink: {switch: west, medium: fibre, length-m: 1200}
            groups:
              - {budget-w: 240}
        ups:
          - {id: ups-1, name: Battery, feeds: [west], usable-wh: 2000, inverter-efficiency-percent: 92, battery-health-percent: 85, other-load-w: 12, wanted-runtime-min: 240, agent: {address: 192.0.2.14, credentials: read-only, poll-period: 30s, answers-from: [192.0.2.23]}}
        injectors:
          - {id: inj, name: Injector, rating-w: 95, output-v: 55, type: 4, data-side: east:1/1, data-side-length-m: 2, agent: {address: 192.0.2.12}, agent-port: 1/2}
        extenders:
          - {id: ext, name: Extender, kind: extender-2-out, source: made up, pole: mast, input-limit-w: 71.3, own-draw-w: 2, outputs: 2, output-limit-w: 30}
        pass-through-switches:
          - id: pass
            name: Pass
            pole: mast
            input-limit-w: 71.3
            own-draw-w: 6
            efficiency-percent: 92
            output-v: 54
            outputs: 4
            output-limit-w: 30
            total-limit-w: 58
            agent: {address: 192.0.2.13, credentials: read-only, poll-period: 1min, answers-from: [192.0.2.22]}
        devices:
          - {id: cam-1, name: Camera 1, type: camera, pole: mast, paging-group: north, criticality: critical, lldp-name: camera-1}
          - {id: cam-2, type: camera, pole: mast}
          - {id: cam-3, type: camera}
          - {id: ptz-1, type: ptz, pole: mast}
        cable-defaults: {gauge-awg: 24, ambient-c: 20, sun-heated: no, rated-c: 75, cord-length-m: 0, cord-gauge-awg: 26, cord-loop-ohm: 0.3, cord-c: 20, contacts: 2, contact-ohm: 0.05, bundled-cables: 3, pair-unbalance-percent: 7, pairset-limit-a: 0.95, screened: yes}
        cables:
          - {id: c-1, from: west:1/3, to: pass, length-m: 90, gauge-awg: 23, pairs: 4, category: 6a, material: copper, conductor-c: 40}
          - {from: pass:1, to: cam-1, length-m: 95, measured-loop-ohm: 15, measured-at-c: 21}
          - {from: inj, to: ext, length-m: 80}
          - {from: ext:2, to: cam-2, length-m: 5}
          - {from: west:2, to: cam-3, length-m: 50}
          - {from: west:1/4, to: ptz-1, length-m: 20}
        conditions:
          dark-below-deg: -6
          cold-below-c: 4
          wet-months: [9, 10, 11, 12, 1, 2]
          climate:
            coldest-c: [-8, -8, -6, -2, 1, 5, 8, 8, 6, 2, -3, -7]
            warmest-c: [11, 11, 14, 17, 21, 24, 26, 26, 22, 18, 14, 12]
          thermometers:
            - {id: air, agent: west, physical-name: Outdoor air}
            - {id: cabinet-air, agent: west, physical-index: 1002, cabinet: west}
        port-schedules:
          - {id: night-off, ports: [west:2], off: "23:00-05:00"}
        maintenance:
          - {id: new-gland, scope: pole/mast, from: 2026-12-01 08:00, to: "2026-12-01T12:30:00+01:00", who: Mira, reason: New gland at the mast}
        """;

    /// <summary>Faults that show in the shape of one value: loader and schema both see them.</summary>
    public static TheoryData<string, string, string> OfShape => new()
    {
        { "format of another version", "poewatch-design/1", "poewatch-design/2" },
        { "latitude beyond the pole", "latitude-deg: 57.05, longitude-deg: -7.94}\nheadroom", "latitude-deg: 91, longitude-deg: -7.94}\nheadroom" },
        { "half a place", "{latitude-deg: 57.05, longitude-deg: -7.94}}", "{latitude-deg: 57.05}}" },
        { "floors without watts and percent", "at-port: {early-w: 5, late-w: 2}", "at-port: {early-w: 5}" },
        { "hours that do not exist", "07:00-19:00", "07:00-25:00" },
        { "condition that no load case knows", "conditions: [dark, cold]", "conditions: [dusk, cold]" },
        { "share above one", "coincidence: {dark: 0.8}", "coincidence: {dark: 1.1}" },
        { "ambient as text", "ambient-c: -12", "ambient-c: cold" },
        { "standard load case that is none", "[paging-one, cold-start]", "[paging-two, cold-start]" },
        { "condition that no type knows", "adds-w: {dark: 3", "adds-w: {dusk: 3" },
        { "paging of one kind in a type", "takes-w: {paging: 14}", "takes-w: {paging-all: 14}" },
        { "one figure beside figures by condition", "typical-w: 12,", "typical-w: 12, demand-w: 12," },
        { "neither one figure nor a typical one", "typical-w: 12, ", "" },
        { "boot without end", "boot-s: 40", "boot-s: 4000" },
        { "start of no port", "starts-at-once: 2", "starts-at-once: 0" },
        { "month 13", "[11, 12, 1]", "[11, 12, 13]" },
        { "class 9", "class: 3, demand-w: 9", "class: 9, demand-w: 9" },
        { "demand as text", "demand-w: 9,", "demand-w: nine," },
        { "negative demand", "demand-w: 9,", "demand-w: -9," },
        { "type without class", "class: 6, demand-w: 45", "demand-w: 45" },
        { "id with a space", "id: mast,", "id: tall mast," },
        { "no address", "    address: 192.0.2.11\n", "" },
        { "address with a slash", "address: 192.0.2.11", "address: 192.0.2.11/24" },
        { "period without a unit", "poll-period: 30s", "poll-period: 30" },
        { "other address as a name", "192.0.2.20, 192.0.2.21", "quay.example.net, 192.0.2.21" },
        { "OID with letters", "1.3.111.2.802.3.1.8.1.1.1.15", "enterprises.64512.1" },
        { "unknown unit", "unit: milliwatt", "unit: milliwatts" },
        { "unknown index", "index: group-and-port", "index: ifindex" },
        { "no budget", "{budget-w: 240}", "{port-count: 8}" },
        { "no groups", "    groups:\n      - {budget-w: 240}\n", "" },
        { "unknown allocation", "allocation: by-limit", "allocation: static" },
        { "unknown redundancy", "redundancy: all-needed", "redundancy: 2n" },
        { "efficiency of a supply above one", "supply-efficiency-percent: 88", "supply-efficiency-percent: 101" },
        { "own draw below nothing", "own-draw-w: 60", "own-draw-w: -1" },
        { "battery without watt-hours", "usable-wh: 2000, ", "" },
        { "battery that feeds nothing", "feeds: [west]", "feeds: []" },
        { "dead battery", "battery-health-percent: 85", "battery-health-percent: 0" },
        { "port as a name", "port: 1/3,", "port: gi1/3," },
        { "limit above the ceiling", "limit-w: 90,", "limit-w: 120," },
        { "type 5", "type: 4, criticality", "type: 5, criticality" },
        { "unknown criticality", "criticality: high", "criticality: urgent" },
        { "date the wrong way round", "2027-03-31", "31.03.2027" },
        { "unknown medium", "medium: fibre", "medium: radio" },
        { "rating with a unit", "rating-w: 95", "rating-w: 95W" },
        { "volts below the window", "output-v: 55", "output-v: 24" },
        { "half an output", "outputs: 2,", "outputs: 2.5," },
        { "no outputs", "    outputs: 4\n", "" },
        { "efficiency above one", "efficiency-percent: 92", "efficiency-percent: 120" },
        { "101 m", "length-m: 95,", "length-m: 101," },
        { "no length", "to: ext, length-m: 80", "to: ext" },
        { "gauge of another table", "gauge-awg: 23", "gauge-awg: 18" },
        { "three pairs", "pairs: 4", "pairs: 3" },
        { "unknown material", "material: copper", "material: steel" },
        { "conductor on fire", "conductor-c: 40", "conductor-c: 400" },
        { "conduit on fire", "ambient-c: 20", "ambient-c: 200" },
        { "sun that is neither there nor not", "sun-heated: no", "sun-heated: partly" },
        { "rating of another table", "rated-c: 75", "rated-c: 70" },
        { "cords below nothing", "cord-length-m: 0", "cord-length-m: -4" },
        { "cord of another table", "cord-gauge-awg: 26", "cord-gauge-awg: 28" },
        { "cords of a hundred ohms", "cord-loop-ohm: 0.3", "cord-loop-ohm: 101" },
        { "cords on fire", "cord-c: 20", "cord-c: 200" },
        { "half a contact", "contacts: 2", "contacts: 2.5" },
        { "contact as text", "contact-ohm: 0.05", "contact-ohm: good" },
        { "bundle beyond what is published", "bundled-cables: 3", "bundled-cables: 101" },
        { "unbalance of all", "pair-unbalance-percent: 7", "pair-unbalance-percent: 100" },
        { "pairset without amperes", "pairset-limit-a: 0.95", "pairset-limit-a: 0" },
        { "screen unknown", "screened: yes", "screened: perhaps" },
        { "measured in a fire", "measured-at-c: 21", "measured-at-c: 210" },
        { "extended power unknown", "extended-power: no", "extended-power: true" },
        { "secret in the design", "credentials: read-only\n    poll", "community: public\n    poll" },
        { "misspelt key", "criticality: critical", "critcality: critical" },
        { "keys instead of a list", "groups:\n      - {budget-w: 240}", "groups: {budget-w: 240}" },
        { "list instead of keys", "{budget-w: 240}", "[budget-w, 240]" },
        { "schedule without ports", "ports: [west:2]", "ports: []" },
        { "work at no kind of place", "scope: pole/mast", "scope: mast" },
        { "work without a reason", ", reason: New gland at the mast", "" },
        { "work that begins at no time", "from: 2026-12-01 08:00", "from: tomorrow" },
    };

    public static string Apply(string find, string replacement)
    {
        Assert.Contains(find, Whole, StringComparison.Ordinal);
        var at = Whole.IndexOf(find, StringComparison.Ordinal);
        return Whole[..at] + replacement + Whole[(at + find.Length)..];
    }
}
