using System.Collections.Immutable;
using System.Text.RegularExpressions;
using static PoeWatch.Simulator.Faults.ScriptNumbers;

namespace PoeWatch.Simulator.Faults;

/// <summary>What a script says of single ports beside their troubles.</summary>
internal static partial class PortSentences
{
    public static ImmutableArray<ScriptSentence> All { get; } =
    [
        new("port ID:GROUP/PORT flaps every 90 s | flaps no more", Flaps(), ReadFlaps),
        new("port ID:GROUP/PORT counts 3 overload | short | denied | mps-absent | signature an hour | counts no more", Counts(), ReadCounts),
        new("port ID:GROUP/PORT ignores its plan | keeps its plan", Plans(), (match, names) =>
            names.Port(match) is { } port ? new PortIgnoresPlan(port, match.Groups["ignores"].Success) : null),
        new("port ID:GROUP/PORT in VLAN 30 | in VLAN as designed", Vlans(), ReadVlan),
    ];

    private static PortFlaps? ReadFlaps(Match match, ScriptNames names)
    {
        if (names.Port(match) is not { } port)
        {
            return null;
        }

        return !match.Groups["time"].Success ? new PortFlaps(port, null)
            : Period(match, names) is { } period ? new PortFlaps(port, period)
            : null;
    }

    private static PortInVlan? ReadVlan(Match match, ScriptNames names)
    {
        if (names.Port(match) is not { } port)
        {
            return null;
        }

        return !match.Groups["vlan"].Success ? new PortInVlan(port, null)
            : Within(1, 4094, "", match, "vlan", names) is { } vlan ? new PortInVlan(port, (int)vlan)
            : null;
    }

    private static SimulatedEvent? ReadCounts(Match match, ScriptNames names)
    {
        if (names.Port(match) is not { } port)
        {
            return null;
        }

        if (!match.Groups["kind"].Success)
        {
            return new PortCountsNoMore(port);
        }

        var kind = match.Groups["kind"].Value switch
        {
            "overload" => PortCount.Overload,
            "short" => PortCount.Short,
            "denied" => PortCount.Denied,
            "mps-absent" => PortCount.MpsAbsent,
            _ => PortCount.InvalidSignature,
        };
        return Within(0, 100_000, "an hour", match, "rate", names) is { } rate ? new PortCounts(port, kind, rate) : null;
    }

    [GeneratedRegex(@"^port\s+(?<port>\S+)\s+flaps\s+(every\s+(?<time>\d{1,9}(\.\d{1,9})?)\s*(?<unit>s|m|h|d)|no\s+more)$")]
    private static partial Regex Flaps();

    [GeneratedRegex(@"^port\s+(?<port>\S+)\s+counts\s+((?<rate>\d{1,9}(\.\d{1,9})?)\s+(?<kind>overload|short|denied|mps-absent|signature)\s+an\s+hour|no\s+more)$")]
    private static partial Regex Counts();

    [GeneratedRegex(@"^port\s+(?<port>\S+)\s+((?<ignores>ignores)|keeps)\s+its\s+plan$")]
    private static partial Regex Plans();

    [GeneratedRegex(@"^port\s+(?<port>\S+)\s+in\s+VLAN\s+((?<vlan>\d{1,5})|as\s+designed)$")]
    private static partial Regex Vlans();
}
