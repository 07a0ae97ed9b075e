using System.Collections.Frozen;
using PoeWatch.Domain.Design;

namespace PoeWatch.Domain.Alarms.Maintenance;

/// <summary>What a maintenance window covers in one design: places, and elements with an agent together with all their ports and groups. Immutable.</summary>
public sealed class MaintenanceScope
{
    public const string WholeSite = "site";
    internal const string PolePrefix = "pole/";

    private readonly bool _isSite;
    private readonly FrozenSet<string> _resources;
    private readonly FrozenSet<string> _pseIds;

    private MaintenanceScope(bool isSite, IEnumerable<string> resources, IEnumerable<string> pseIds)
    {
        _isSite = isSite;
        _resources = resources.ToFrozenSet(StringComparer.Ordinal);
        _pseIds = pseIds.ToFrozenSet(StringComparer.Ordinal);
    }

    /// <summary>The scope in a design; null where the design has no such place.</summary>
    public static MaintenanceScope? Of(string scope, DesignModel design)
    {
        if (scope == WholeSite)
        {
            return new MaintenanceScope(true, [], []);
        }

        var (kind, id) = scope.IndexOf('/', StringComparison.Ordinal) is > 0 and var at ? (scope[..(at + 1)], scope[(at + 1)..]) : ("", scope);
        return kind switch
        {
            PolePrefix when design.Poles.ContainsKey(id) => OfRuns([.. design.CableRuns.Values.Where(r => r.PoleIds.Contains(id))], []),
            AlarmResources.SwitchPrefix when design.Agents.ContainsKey(id) =>
                OfRuns([.. design.CableRuns.Values.Where(r => r.Source.Port?.PseId == id || r.Source.InjectorId == id)], [id]),
            AlarmResources.RunPrefix when design.CableRuns.TryGetValue(id, out var run) => OfRuns([run], []),
            AlarmResources.PortPrefix when Readings.PsePortRef.TryParse(id, out var port) && design.Agents.ContainsKey(port.PseId) =>
                OfRuns([.. design.CableRuns.Values.Where(r => r.Source.Port == port)], [], AlarmResources.Port(port)),
            _ => null,
        };
    }

    /// <summary>True where an alarm of the resource falls into the work.</summary>
    public bool Covers(string resource)
    {
        if (_isSite || _resources.Contains(resource))
        {
            return true;
        }

        // "port/quay-west:1/3" and "group/quay-west:1" belong to quay-west, "switch/quay-west" too; ids of elements hold no colon.
        var rest = resource[(resource.IndexOf('/', StringComparison.Ordinal) + 1)..];
        var colon = rest.IndexOf(':', StringComparison.Ordinal);
        return !resource.StartsWith(AlarmResources.RunPrefix, StringComparison.Ordinal) && _pseIds.Contains(colon < 0 ? rest : rest[..colon]);
    }

    /// <summary>A run with the port that feeds it and every agent on it: who works at its cable switches all of them off.</summary>
    private static MaintenanceScope OfRuns(IReadOnlyCollection<CableRun> runs, IEnumerable<string> pseIds, params IEnumerable<string> more) => new(
        false,
        [
            .. more,
            .. runs.Select(r => AlarmResources.CableRun(r.Id)),
            .. runs.Where(r => r.Source.Port is not null).Select(r => AlarmResources.Port(r.Source.Port!.Value)),
        ],
        [.. pseIds, .. runs.SelectMany(r => r.Root.SelfAndBelow()).Select(place => place.ElementId)]);
}
