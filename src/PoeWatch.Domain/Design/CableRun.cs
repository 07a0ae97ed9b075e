using System.Collections.Immutable;
using PoeWatch.Domain.Poe;
using PoeWatch.Domain.Quantities;
using PoeWatch.Domain.Readings;

namespace PoeWatch.Domain.Design;

/// <summary>What stands at a place of a run.</summary>
public enum FlowNodeKind
{
    Unknown = 0,
    Device = 1,
    Extender = 2,
    PassThroughSwitch = 3,
}

/// <summary>
/// One place of a run's tree: an element, the segment that feeds it and what it feeds in turn. Exactly one of
/// <see cref="Device"/>, <see cref="Extender"/> and <see cref="PassThrough"/> is set, as <see cref="Kind"/> says.
/// </summary>
public sealed record FlowNode(FlowNodeKind Kind, string ElementId, string? PoleId, CableSegment Incoming, ImmutableArray<FlowNode> Children)
{
    public PoweredDevice? Device { get; init; }

    /// <summary>Type of <see cref="Device"/>: its class decides what it may take and the volts it needs. Set wherever a device is.</summary>
    public DeviceType? DeviceType { get; init; }

    public Extender? Extender { get; init; }

    public PassThroughSwitch? PassThrough { get; init; }

    /// <summary>This place and all below it, parents first.</summary>
    public IEnumerable<FlowNode> SelfAndBelow() => Children.SelectMany(child => child.SelfAndBelow()).Prepend(this);
}

/// <summary>Where a run gets its power.</summary>
/// <param name="Limit">The most it gives, at the PSE.</param>
/// <param name="NominalVoltage">Volts expected; the guaranteed minimum follows from <paramref name="Type"/>.</param>
/// <param name="Port">PSE port that meters the run; null where the run is unmetered.</param>
/// <param name="InjectorId">Set where an injector feeds the run.</param>
public sealed record RunSource(Power Limit, PoeType Type, Voltage NominalVoltage, PsePortRef? Port, string? InjectorId)
{
    /// <summary>Highest class that the design lets it grant; null where that follows from limit and type.</summary>
    public PoeClass? GrantableClass { get; init; }
}

/// <summary>The whole cable path from one PSE port to the last PD, as a tree.</summary>
/// <param name="Id">The PSE port (<c>quay-west:1/7</c>) or the injector's id.</param>
/// <param name="PoleIds">Poles it serves, nearest first, each once.</param>
public sealed record CableRun(string Id, RunSource Source, FlowNode Root, ImmutableArray<string> PoleIds)
{
    /// <summary>True where nobody measures the watts of the run.</summary>
    public bool IsUnmetered => Source.Port is null;

    /// <summary>All devices on the run.</summary>
    public IEnumerable<PoweredDevice> Devices => Root.SelfAndBelow().Where(n => n.Device is not null).Select(n => n.Device!);

    /// <summary>The last place of the longest path: where one more device would hang.</summary>
    public FlowNode FarEnd => Farthest(Root, 0).Place;

    private static (FlowNode Place, double Meters) Farthest(FlowNode at, double metersBefore)
    {
        var best = (Place: at, Meters: metersBefore + at.Incoming.Length.Meters);
        // A device has no output: one more device hangs on what feeds it, so only elements with outputs lead further,
        // save where the run is a single cable to one device.
        foreach (var child in at.Children.Where(c => c.Kind != FlowNodeKind.Device))
        {
            var far = Farthest(child, metersBefore + at.Incoming.Length.Meters);
            best = far.Meters > best.Meters ? far : best;
        }

        return best;
    }
}
