using System.Text.RegularExpressions;

namespace PoeWatch.Acceptance.Tests.Designs;

/// <summary>A design with twelve faults in it, each marked at its line with the code that the check gives it.</summary>
internal static partial class TwelveFaults
{
    public const string Text = """
        format: poewatch-design/1
        site: {name: Slipway, coordinates: {latitude-deg: 157.05, longitude-deg: -7.94}} # fault: out-of-range
        poles:
          - {id: slip-head}
          - {id: slip-foot}
          - {id: slip-foot}                                               # fault: duplicate-id
        device-types:
          - {id: camera, class: 3, demand-w: 9}
          - {id: lamp, class: 6, demand-w: minus two}                     # fault: wrong-type
        devices:
          - {id: cam-head, type: camera, pole: slip-head}
          - {id: cam-foot, type: camra, pole: slip-foot}                  # fault: unknown-device-type
          - {id: lamp-foot, type: lamp, pole: slip-foot}
          - {id: lost, type: camera, pole: slip-head}                     # fault: not-fed
        switches:
          - id: slip
            address: 192.0.2.44
            poll-period: 20min                                            # fault: malformed-period
            passphrase: seaweed                                           # fault: secret-in-design
            groups: [{group: 1, port-count: 8, budget-w: 120}]
            ports: [{port: 1/9, limit-w: 30}]                             # fault: output-beyond-count
          - id: shore
            address: 192.0.2.44                                           # fault: duplicate-address
            groups: [{budget-w: 120, sparewatts: 4}]                      # fault: unknown-key
        cables:
          - {from: slip:1/1, to: cam-head, length-m: 140}                 # fault: segment-too-long
          - {from: slip:1/2, to: cam-foot, length-m: 40, gauge-awg: 99}   # fault: unknown-word
          - {from: slip:1/3, to: lamp-foot, length-m: 40}

        """;

    /// <summary>Line and code of each fault, in the order of lines.</summary>
    public static (int Line, string Code)[] Marks { get; } =
        [.. Text.Split('\n').Select((line, index) => (index + 1, FaultMark().Match(line).Groups[1].Value)).Where(fault => fault.Value.Length > 0)];

    [GeneratedRegex("# fault: ([a-z-]+)")]
    private static partial Regex FaultMark();
}
