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
    // Up to here looking at each place is quicker than a table of them.
    private const int FewPlaces = 16;

    private readonly FlowPlace[] _places;
    private readonly List<FlowDomain> _domains = new(1);
    private readonly Dictionary<string, int>? _indexOf;
    private string? _portName;

    internal FlowTree(CableRun run, OperatingMode mode)
    {
        Run = run;
        Mode = mode;
        _places = new FlowPlace[CountOf(run.Root)];
        var source = run.Source;
        Add(run.Root, parent: -1, source.Type, NewDomain(source.NominalVoltage, source.Type, _places.Length));
        if (Count > FewPlaces)
        {
            _indexOf = new Dictionary<string, int>(StringComparer.Ordinal);
            for (var index = 0; index < Count; index++)
            {
                _indexOf.Add(_places[index].Node.ElementId, index);
            }
        }
    }

    internal CableRun Run { get; }

    internal OperatingMode Mode { get; }

    internal int Count { get; private set; }

    /// <summary>How the source is called where it is a port.</summary>
    internal string PortName => _portName ??= Run.Source.Port?.ToString() ?? Run.Id;

    /// <summary>True where a segment's resistance depends on what flows.</summary>
    internal bool IsWarmedByCurrent { get; private set; }

    /// <summary>Domains, each behind all that feed it.</summary>
    internal List<FlowDomain> Domains => _domains;

    internal FlowNode Place(int index) => _places[index].Node;

    /// <summary>Index of the feeding place; -1 at the first place of the run.</summary>
    internal int ParentOf(int index) => _places[index].Parent;

    /// <summary>What feeds the place; null where the source does.</summary>
    internal FlowNode? ParentNode(int index) => ParentOf(index) is >= 0 and var parent ? Place(parent) : null;

    /// <summary>Index after the last place below this one.</summary>
    internal int EndOf(int index) => _places[index].End;

    /// <summary>Volts at the feeding end of the place's segment where they are fixed (source, regulated output); else null.</summary>
    internal double? FixedFeedVolts(int index) => _places[index].FixedVolts;

    /// <summary>Resistance of the segment that feeds the place.</summary>
    internal ref readonly SegmentLaw LawOf(int index) => ref _places[index].Law;

    /// <summary>Type whose windows and currents hold on the segment that feeds the place.</summary>
    internal PoeType FeedOf(int index) => _places[index].Feed;

    /// <summary>Output watts over input watts at a place: 1 where nothing converts.</summary>
    internal double Efficiency(int index) => _places[index].Efficiency;

    internal double OwnWatts(int index) => _places[index].OwnWatts;

    /// <exception cref="ArgumentException">The run has no such element.</exception>
    internal int IndexOf(string elementId) => FindIndex(elementId) is >= 0 and var index
        ? index
        : throw new ArgumentException($"Run {Run.Id} has no element '{elementId}'.", nameof(elementId));

    /// <summary>Index of an element; -1 where the run has no such element.</summary>
    internal int FindIndex(string elementId)
    {
        if (_indexOf is not null)
        {
            return _indexOf.GetValueOrDefault(elementId, -1);
        }

        for (var index = 0; index < Count; index++)
        {
            if (string.Equals(_places[index].Node.ElementId, elementId, StringComparison.Ordinal))
            {
                return index;
            }
        }

        return -1;
    }

    /// <summary>Volts at the outputs of a place where it regulates them; null where it passes on what arrives.</summary>
    internal double? OutputVolts(int index) => Place(index).PassThrough is { OutputVoltage: { } regulated } converter
        ? DomainVolts(regulated, PoeTables.TypeForOutput(converter.OutputLimit))
        : null;

    private static int CountOf(FlowNode place)
    {
        var count = 1;
        foreach (var child in place.Children)
        {
            count += CountOf(child);
        }

        return count;
    }

    private void Add(FlowNode place, int parent, PoeType feed, FlowDomain domain)
    {
        var index = Count++;
        var law = CableResistance.LawOf(place.Incoming, Mode, feed);
        IsWarmedByCurrent |= law.IsWarmedByCurrent;
        _places[index] = new FlowPlace
        {
            Node = place,
            Parent = parent,
            Feed = feed,
            Law = law,
            FixedVolts = domain.Places.Count == 0 ? domain.SourceVolts : null,
            Efficiency = place.PassThrough?.Efficiency.Fraction ?? 1.0,
            OwnWatts = (place.Extender?.OwnDraw ?? place.PassThrough?.OwnDraw ?? Power.Zero).Watts,
        };
        domain.Places.Add(index);
        foreach (var child in place.Children)
        {
            if (place.PassThrough is { OutputVoltage: { } regulated } converter)
            {
                var type = PoeTables.TypeForOutput(converter.OutputLimit);
                Add(child, index, type, NewDomain(regulated, type, CountOf(child)));
            }
            else
            {
                Add(child, index, feed, domain);
            }
        }

        _places[index].End = Count;
    }

    // A nominal voltage below the standard's minimum promises less than the standard does, so the lower of the two is the guarantee.
    private double DomainVolts(Voltage nominal, PoeType type) =>
        (Mode == OperatingMode.Guaranteed && PoeTables.LimitsOf(type) is { } limits ? Voltage.Min(nominal, limits.PseMinimumVoltage) : nominal).Volts;

    private FlowDomain NewDomain(Voltage nominal, PoeType type, int most)
    {
        var domain = new FlowDomain(DomainVolts(nominal, type), new List<int>(most));
        _domains.Add(domain);
        return domain;
    }

    private struct FlowPlace
    {
        internal FlowNode Node;
        internal int Parent;
        internal int End;
        internal PoeType Feed;
        internal SegmentLaw Law;
        internal double? FixedVolts;
        internal double Efficiency;
        internal double OwnWatts;
    }
}

/// <summary>Places behind one fixed voltage, parents first; the first of them is fed by it.</summary>
internal sealed record FlowDomain(double SourceVolts, List<int> Places)
{
    internal int Head => Places[0];
}
