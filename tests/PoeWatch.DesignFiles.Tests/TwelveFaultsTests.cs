using System.Text.RegularExpressions;

namespace PoeWatch.DesignFiles.Tests;

/// <summary>
/// A design with twelve faults of every kind, each marked at its line with <c># fault: code</c>. The check names exactly these, at once.
/// </summary>
public sealed partial class TwelveFaultsTests
{
    private const string Site = """
        format: poewatch-design/1
        site: {name: Boatyard, time-zone: Europe/Skerry}                                # fault: unknown-time-zone
        load-cases:
          - {id: frost, months: [12, 1, 2]}
          - {id: night, hours: "22:00-6:00"}                                            # fault: malformed-hours
        device-types:
          - {id: camera, class: 3, demand-w: 9}
          - {id: ptz, class: 6, demand-w: 45, demands-w: {frst: 50}}                    # fault: unknown-load-case
        poles:
          - {id: hoist}
          - {id: pontoon}
          - {id: hoist}                                                                 # fault: duplicate-id
        switches:
          - id: yard
            address: 192.0.2.31
            community: public                                                           # fault: secret-in-design
            groups:
              - {group: 1, port-count: 24, budgt-w: 370, budget-w: 370}                 # fault: unknown-key
            ports:
              - {port: 1/5, limit-w: 30}                                                # fault: port-limit-too-small
              - {port: 1/6, limit-w: thirty}                                            # fault: wrong-type
        extenders:
          - {id: branch, pole: pontoon, outputs: 2}
        devices:
          - {id: hoist-camera, type: ptz, pole: hoist}
          - {id: pontoon-camera, type: camera, pole: pontoon}
          - {id: gate-camera, type: camera}                                             # fault: not-fed
          - {id: slip-camera, type: camera, pole: hoist}
        cables:
          - {from: yard:1/5, to: hoist-camera, length-m: 40}
          - {from: yard:1/7, to: branch, length-m: 120}                                 # fault: segment-too-long
          - {from: branch:3, to: pontoon-camera, length-m: 5}                           # fault: output-beyond-count
          - {from: yrd:1/8, to: slip-camera, length-m: 30}                              # fault: unknown-element
        """;

    [Fact]
    public void Each_of_twelve_faults_is_named_with_its_line_and_nothing_else_is()
    {
        var meant = Site.Split('\n').Select((line, index) => (Code: FaultMark().Match(line).Groups[1].Value, Line: index + 1)).Where(f => f.Code.Length > 0);

        var result = Designs.Load(Site).Result;

        Assert.Null(result.Model);
        Assert.Equal(12, meant.Count());
        Assert.Equal(meant, result.Problems.Select(p => (p.Code, p.At.Line)));
    }

    [Fact]
    public void The_report_has_a_line_for_each_with_place_value_and_remedy()
    {
        var lines = DesignProblemText.Format("boatyard.yaml", Designs.Load(Site).Result).TrimEnd('\n').Split('\n');

        Assert.Equal(13, lines.Length);
        Assert.Equal(
            "site.yaml:18:36: error unknown-key: A group has no key 'budgt-w'. Written: 'budgt-w'. Did you mean 'budget-w'? "
            + "The keys here are group, port-count, budget-w, guard-band-w, allocation, redundancy, own-draw-w, supply-efficiency-percent, supplies, starts-at-once, start-interval-s.",
            lines[5]);
        Assert.Equal("boatyard.yaml: refused, 12 errors, 0 warnings.", lines[^1]);
    }

    [GeneratedRegex("# fault: ([a-z-]+)")]
    private static partial Regex FaultMark();
}
