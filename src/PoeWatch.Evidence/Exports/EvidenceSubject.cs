using System.Collections.Immutable;
using PoeWatch.Domain.Readings;
using PoeWatch.Monitoring.Abstractions;

namespace PoeWatch.Evidence.Exports;

/// <summary>What a scope comes to: the elements whose polls are exported, and which of their ports, by the design in force at each moment. Immutable.</summary>
internal sealed class EvidenceSubject
{
    private readonly DesignTimeline _designs;
    private readonly EvidenceScope _scope;
    private readonly PsePortRef _port;

    private EvidenceSubject(DesignTimeline designs, EvidenceScope scope, PsePortRef port, ImmutableArray<string> elements) =>
        (_designs, _scope, _port, Elements) = (designs, scope, port, elements);

    /// <summary>In ordinal order.</summary>
    public ImmutableArray<string> Elements { get; }

    /// <summary>True where every row of a poll is exported.</summary>
    public bool IsWhole => _scope.Kind is "site" or "switch";

    /// <summary>The subject; or null with what is wrong.</summary>
    /// <param name="known">Every element that the history or the tree knows, also those no longer in a design.</param>
    public static EvidenceSubject? Of(EvidenceScope scope, DesignTimeline designs, IReadOnlyCollection<string> known, out string problem)
    {
        problem = string.Empty;
        string[] all = [.. designs.Models.SelectMany(m => m.Agents.Keys).Concat(known).Distinct(StringComparer.Ordinal).Order(StringComparer.Ordinal)];
        switch (scope.Kind)
        {
            case "site":
                return new EvidenceSubject(designs, scope, default, [.. all]);
            case "switch" when all.Contains(scope.Id, StringComparer.Ordinal):
                return new EvidenceSubject(designs, scope, default, [scope.Id]);
            case "port" when PsePortRef.TryParse(scope.Id, out var port) && all.Contains(port.PseId, StringComparer.Ordinal):
                return new EvidenceSubject(designs, scope, port, [port.PseId]);
            case "pole" when designs.Models.Any(m => m.Poles.ContainsKey(scope.Id)):
                var elements = designs.Models.SelectMany(m => m.CableRunsByPole.GetValueOrDefault(scope.Id, []))
                    .Select(r => r.Source.Port).OfType<PsePortRef>().Select(p => p.PseId).Distinct(StringComparer.Ordinal).Order(StringComparer.Ordinal);
                return new EvidenceSubject(designs, scope, default, [.. elements]);
            default:
                problem = $"There is no {scope.Kind} '{scope.Id}' in a design that was in force in the period or in the history. Ports are written id:group/port.";
                return null;
        }
    }

    /// <summary>Whether a port belongs to the export at a moment.</summary>
    public bool Has(PsePortRef port, DateTimeOffset time) => _scope.Kind switch
    {
        "port" => port == _port,
        "pole" => _designs.CableRunOf(port, time)?.PoleIds.Contains(_scope.Id) == true,
        _ => true,
    };

    /// <summary>Ports of an element whose silence is a gap even where no reading names them.</summary>
    public IEnumerable<PsePortRef> ExpectedPorts(string pseId) => _scope.Kind == "port"
        ? [_port]
        : _designs.Spans.Where(s => s.Model is not null)
            .SelectMany(s => s.Model!.CableRunByPort.Keys.Where(p => p.PseId == pseId && Has(p, s.Version.InForceFrom))).Distinct().Order();

    /// <summary>Runs of the scope that nobody measures, with the poles that they feed.</summary>
    public IEnumerable<(string CableRunId, string PoleIds)> Unmetered => _designs.Models.SelectMany(m => m.CableRuns.Values)
        .Where(r => r.IsUnmetered && (_scope.Kind == "site" || (_scope.Kind == "pole" && r.PoleIds.Contains(_scope.Id))))
        .Select(r => (r.Id, string.Join(' ', r.PoleIds))).Distinct();
}
