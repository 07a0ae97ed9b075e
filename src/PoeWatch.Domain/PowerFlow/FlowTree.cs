using PoeWatch.Domain.Design;
using PoeWatch.Domain.Poe;
using PoeWatch.Domain.Quantities;

namespace PoeWatch.Domain.PowerFlow;

/// <summary>
/// A run laid out for solving in one operating mode: its places in one array, parents first. Every stretch of tree behind one fixed voltage
/// (the source, or one regulated output) is a <em>domain</em>; inside it the voltages hang together, across its border they do not.
/// Immutable and thread safe.
/// </summary>
internal sealed class FlowTree
{
    private readonly List<FlowNode> _places = [];
    private readonly List<int> _parents = [];
    private readonly List<double> _ohms = [];
    private readonly List<PoeType> _feeds = [];
    private readonly List<int> _ends = [];
    private readonly List<double?> _fixedVolts = [];
    private readonly List<FlowDomain> _domains = [];
    private readonly Dictionary<string, int> _placeOf = new(StringComparer.Ordinal);

    internal FlowTree(CableRun run, OperatingMode mode)
    {
        Run = run;
        Mode = mode;
        var source = run.Source;
        Add(run.Root, parent: -1, source.Type, NewDomain(source.NominalVoltage, source.Type));
    }

    internal CableRun Run { get; }

    internal OperatingMode Mode { get; }

    internal int Count => _places.Count;

    /// <summary>Domains, each behind all that feed it.</summary>
    internal IReadOnlyList<FlowDomain> Domains => _domains;

    internal FlowNode Place(int index) => _places[index];

    /// <summary>Index of the feeding place; -1 at the first place of the run.</summary>
    internal int ParentOf(int index) => _parents[index];

    /// <summary>Index after the last place below this one.</summary>
    internal int EndOf(int index) => _ends[index];

    /// <summary>Volts at the feeding end of the place's segment where they are fixed (source, regulated output); else null.</summary>
    internal double? FixedFeedVolts(int index) => _fixedVolts[index];

    internal double Ohms(int index) => _ohms[index];

    /// <summary>Type whose windows and currents hold on the segment that feeds the place.</summary>
    internal PoeType FeedOf(int index) => _feeds[index];

    /// <summary>Output watts over input watts at a place: 1 where nothing converts.</summary>
    internal double Efficiency(int index) => _places[index].PassThrough?.Efficiency.Fraction ?? 1.0;

    internal double OwnWatts(int index) =>
        (_places[index].Extender?.OwnDraw ?? _places[index].PassThrough?.OwnDraw ?? Power.Zero).Watts;

    /// <exception cref="ArgumentException">The run has no such element.</exception>
    internal int IndexOf(string elementId) => _placeOf.TryGetValue(elementId, out var index)
        ? index
        : throw new ArgumentException($"Run {Run.Id} has no element '{elementId}'.", nameof(elementId));

    /// <summary>Volts at the outputs of a place where it regulates them; null where it passes on what arrives.</summary>
    internal double? OutputVolts(int index) => _places[index].PassThrough is { OutputVoltage: { } regulated } converter
        ? DomainVolts(regulated, PoeTables.TypeForOutput(converter.OutputLimit))
        : null;

    private void Add(FlowNode place, int parent, PoeType feed, FlowDomain domain)
    {
        var index = _places.Count;
        _places.Add(place);
        _parents.Add(parent);
        _feeds.Add(feed);
        _ohms.Add(CableResistance.Of(place.Incoming, Mode, feed).Ohms);
        _placeOf.Add(place.ElementId, index);
        _fixedVolts.Add(domain.Places.Count == 0 ? domain.SourceVolts : null);
        _ends.Add(index + 1);
        domain.Places.Add(index);
        foreach (var child in place.Children)
        {
            if (place.PassThrough is { OutputVoltage: { } regulated } converter)
            {
                var type = PoeTables.TypeForOutput(converter.OutputLimit);
                Add(child, index, type, NewDomain(regulated, type));
            }
            else
            {
                Add(child, index, feed, domain);
            }
        }

        _ends[index] = _places.Count;
    }

    // A nominal voltage below the standard's minimum promises less than the standard does, so the lower of the two is the guarantee.
    private double DomainVolts(Voltage nominal, PoeType type) =>
        (Mode == OperatingMode.Guaranteed && PoeTables.LimitsOf(type) is { } limits ? Voltage.Min(nominal, limits.PseMinimumVoltage) : nominal).Volts;

    private FlowDomain NewDomain(Voltage nominal, PoeType type)
    {
        var domain = new FlowDomain(DomainVolts(nominal, type), []);
        _domains.Add(domain);
        return domain;
    }
}

/// <summary>Places behind one fixed voltage, parents first; the first of them is fed by it.</summary>
internal sealed record FlowDomain(double SourceVolts, List<int> Places)
{
    internal int Head => Places[0];
}
