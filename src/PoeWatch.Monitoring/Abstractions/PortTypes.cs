using System.Collections.Immutable;
using PoeWatch.Domain.Poe;
using PoeWatch.Domain.Readings;

namespace PoeWatch.Monitoring.Abstractions;

/// <summary>
/// The types that a design gives to the ports of one switch. Ports with numbers in a row are mostly of one type, so what is kept is runs of them: over
/// thousands of switches a table of ports would be a good part of the memory. Immutable.
/// </summary>
public sealed class PortTypes
{
    private readonly ImmutableArray<Run> _runs;

    private PortTypes(ImmutableArray<Run> runs) => _runs = runs;

    /// <summary>The design has none of the ports.</summary>
    public static PortTypes None { get; } = new([]);

    /// <param name="ports">Ports of one switch, each once, in any order.</param>
    public static PortTypes Of(IEnumerable<KeyValuePair<PsePortRef, PoeType>> ports)
    {
        var runs = new List<Run>();
        foreach (var (port, type) in ports.OrderBy(p => p.Key))
        {
            if (runs.Count > 0 && runs[^1] is var last && last.Group == port.Group && last.Type == type && last.Last + 1 == port.Port)
            {
                runs[^1] = last with { Last = port.Port };
            }
            else
            {
                runs.Add(new Run(port.Group, port.Port, port.Port, type));
            }
        }

        return runs.Count == 0 ? None : new PortTypes([.. runs]);
    }

    /// <summary>Type of a port of this switch; <see cref="PoeType.Unknown"/> where the design does not have it.</summary>
    public PoeType TypeOf(PsePortRef port)
    {
        foreach (Run run in _runs)
        {
            if (run.Group == port.Group && run.First <= port.Port && port.Port <= run.Last)
            {
                return run.Type;
            }
        }

        return PoeType.Unknown;
    }

    private readonly record struct Run(int Group, int First, int Last, PoeType Type);
}
