using System.Collections.Immutable;
using System.Globalization;
using PoeWatch.Domain.Readings;
using PoeWatch.Monitoring.Abstractions;

namespace PoeWatch.Monitoring.Polling.Interfaces;

/// <summary>Holds neighbours and VLANs of interfaces against the design. Only what the design says can be wrong. Pure.</summary>
internal static class IntentCheck
{
    public static ImmutableArray<ReadingFinding> Check(IReadOnlyDictionary<PsePortRef, PortInterface> interfaces, PortIntents intents) =>
    [
        .. from port in interfaces.OrderBy(p => p.Key)
           from finding in Neighbours(port.Key, port.Value, intents).Concat(Vlan(port.Key, port.Value, intents))
           select finding,
    ];

    private static IEnumerable<ReadingFinding> Neighbours(PsePortRef port, PortInterface found, PortIntents intents)
    {
        string[] seen = [.. found.Neighbours.Select(n => n.SystemName).Where(name => name.Length > 0)];
        var isMeant = intents.Names.TryGetValue(port, out ImmutableArray<string> meant);
        foreach (var name in seen)
        {
            if (Place(name, intents) is { } home && home != port)
            {
                yield return new ReadingFinding(
                    FindingKind.MovedDevice, 0, port,
                    $"'{name}' stands behind {port} ({found.Name}); the design has it behind {home}. Move the cable back, or move the device in the design.");
                isMeant = false;
            }
        }

        // Something between may speak for itself, so one neighbour that is meant is enough.
        if (isMeant && seen.Length > 0 && !seen.Any(name => meant.Any(expected => IsSame(name, expected))))
        {
            yield return new ReadingFinding(
                FindingKind.WrongDevice, 0, port,
                $"Behind {port} ({found.Name}) stands '{string.Join("', '", seen)}'; the design has '{string.Join("', '", meant)}' there. See which device it is, then correct its name, the cable or the design.");
        }
    }

    private static IEnumerable<ReadingFinding> Vlan(PsePortRef port, PortInterface found, PortIntents intents)
    {
        if (found.Vlan is { } vlan && intents.Vlans.TryGetValue(port, out var meant) && vlan != meant)
        {
            yield return new ReadingFinding(
                FindingKind.WrongVlan, 0, port, string.Create(
                    CultureInfo.InvariantCulture,
                    $"{port} ({found.Name}) is in VLAN {vlan}; the design has VLAN {meant}. Correct the port's VLAN in the switch, or the design."));
        }
    }

    // A name may be told with its domain and written without, or the other way round.
    private static PsePortRef? Place(string name, PortIntents intents) =>
        intents.Ports.TryGetValue(name, out PsePortRef port) || intents.Ports.TryGetValue(Short(name), out port) ? port : null;

    private static bool IsSame(string a, string b) =>
        string.Equals(a, b, StringComparison.OrdinalIgnoreCase) || ((a.Contains('.') ^ b.Contains('.')) && string.Equals(Short(a), Short(b), StringComparison.OrdinalIgnoreCase));

    private static string Short(string name) => name.Split('.')[0];
}
