using PoeWatch.Domain.Assessment;
using PoeWatch.Domain.Quantities;
using PoeWatch.Domain.Readings;
using PoeWatch.Domain.Rollups;

namespace PoeWatch.Monitoring.Rollups;

/// <summary>
/// Rolls up one element while its polls go by: its ports, their sum, and the poles that it alone feeds. Holds the intervals of one window and no poll.
/// Not thread safe.
/// </summary>
internal sealed class ElementRoller
{
    private readonly RollupWindow _window;
    private readonly IReadOnlyList<DesignPeriod> _designs;
    private readonly SortedDictionary<PsePortRef, PlaceCutters> _ports = [];
    private readonly Dictionary<PsePortRef, KnownPower> _now = [];
    private readonly PlaceCutters _sum;
    private readonly List<(string PoleId, IReadOnlyList<PsePortRef>?[] PortsByDesign, PlaceCutters Cutters)> _poles = [];

    public ElementRoller(string pseId, RollupWindow window, IReadOnlyList<DesignPeriod> designs, PolePlan poles)
    {
        (_window, _designs) = (window, designs);
        _sum = new PlaceCutters(window, withHistogram: false);
        foreach (PsePortRef port in designs.SelectMany(d => DesignSums.OfElement(d.Design, pseId)).Distinct())
        {
            _ports.Add(port, new PlaceCutters(window, withHistogram: true));
        }

        foreach (var pole in poles.PolesOf(pseId))
        {
            _poles.Add((pole, [.. designs.Select(d => DesignSums.OfPole(d.Design, pole))], new PlaceCutters(window, withHistogram: false)));
        }
    }

    public void Add(HeldPoll held)
    {
        _now.Clear();
        foreach (PortReading reading in held.Reading.Ports)
        {
            _now[reading.Port] = new KnownPower(reading.DrawAtPse, reading.Provenance);
            if (!_ports.ContainsKey(reading.Port))
            {
                _ports.Add(reading.Port, new PlaceCutters(_window, withHistogram: true));
            }
        }

        foreach (var (port, cutters) in _ports)
        {
            cutters.Add(held.Start, held.End, _now.GetValueOrDefault(port, KnownPower.Nothing));
        }

        _sum.Add(held.Start, held.End, SumOf(_ports.Keys));
        for (var i = 0; i < _designs.Count; i++)
        {
            DateTimeOffset start = held.Start > _designs[i].From || i == 0 ? held.Start : _designs[i].From;
            DateTimeOffset end = held.End < _designs[i].To || i == _designs.Count - 1 ? held.End : _designs[i].To;
            if (start < end)
            {
                _poles.ForEach(p => p.Cutters.Add(start, end, p.PortsByDesign[i] is { Count: > 0 } ports ? SumOf(ports) : KnownPower.Nothing));
            }
        }
    }

    public ElementRollups Finish()
    {
        SortedDictionary<PsePortRef, PlaceRollups> ports = [];
        foreach (var (port, cutters) in _ports)
        {
            ports.Add(port, cutters.Finish());
        }

        return new ElementRollups(
            ports,
            _sum.Finish().WithParts(ports.Values),
            _poles.ToDictionary(
                p => p.PoleId,
                p => p.Cutters.Finish().WithParts([.. p.PortsByDesign.SelectMany(d => d ?? []).Distinct().Select(port => ports[port])])));
    }

    private KnownPower SumOf(IEnumerable<PsePortRef> ports)
    {
        var (milliwatts, provenance) = (0L, Provenance.Off);
        foreach (PsePortRef port in ports)
        {
            if (!_now.TryGetValue(port, out KnownPower power) || power.Watts is not { } watts)
            {
                return KnownPower.Nothing;
            }

            milliwatts += watts.Milliwatts;
            provenance = ProvenanceRules.Sum(provenance, power.Provenance);
        }

        return new KnownPower(Power.FromMilliwatts(milliwatts), provenance);
    }
}

/// <summary>What came of one element in one window.</summary>
internal sealed record ElementRollups(
    IReadOnlyDictionary<PsePortRef, PlaceRollups> Ports, PlaceRollups Sum, IReadOnlyDictionary<string, PlaceRollups> Poles);
