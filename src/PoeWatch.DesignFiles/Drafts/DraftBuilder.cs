using System.Collections.Immutable;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.Poe;
using PoeWatch.Domain.Readings;

namespace PoeWatch.DesignFiles.Drafts;

/// <summary>Drafts a design out of what switches answered: one run for each port that delivers, each guess with what it rests on. Pure; one draft each.</summary>
public sealed class DraftBuilder
{
    // Of an uplink only the medium and the near end count; the length is for people.
    private const int FibreLengthM = 1000;
    private const int CopperLengthM = 100;

    // A longer name is a sentence, and no id to type.
    private const int IdLengthMax = 32;

    private readonly ImmutableArray<DraftSource> _sources;
    private readonly IdBook _ids = new();
    private readonly string[] _switchIds;
    private readonly Dictionary<string, DraftedPole> _poles = new(StringComparer.OrdinalIgnoreCase);
    private readonly SortedDictionary<string, DraftedType> _types = new(StringComparer.Ordinal);
    private readonly List<DraftedDevice> _devices = [];

    private DraftBuilder(ImmutableArray<DraftSource> sources)
    {
        _sources = sources;
        _switchIds =
        [
            .. sources.Select(source => _ids.Take(
                source.WantedId.Length > 0 ? source.WantedId : IdBook.Slug(source.SystemName) is { Length: > 0 } name ? name : "switch-" + source.Address)),
        ];
    }

    /// <param name="sources">In the order of the list.</param>
    public static DesignDraft Build(ImmutableArray<DraftSource> sources) => new DraftBuilder(sources).Build();

    private bool IsSwitch(int index) => _sources[index].Reading is { Ports.IsEmpty: false } && SameAs(index) < 0;

    // One switch answers at each of its addresses. A chassis id alone may be what a maker forgot to set.
    private int SameAs(int index) => Enumerable.Range(0, index).FirstOrDefault(
        earlier => _sources[earlier].SystemName.Length > 0 && _sources[earlier].SystemName == _sources[index].SystemName
            && _sources[earlier].ChassisIds.Intersect(_sources[index].ChassisIds, StringComparer.OrdinalIgnoreCase).Any(), -1);

    private string WhyAbsent(int index) =>
        _sources[index].Reading is null ? "did not answer: " + _sources[index].Trouble
        : SameAs(index) is >= 0 and var same ? $"is another address of {_switchIds[same]}: the same system name and chassis id"
        : "answers but shows no PSE port (RFC 3621)";

    private DesignDraft Build()
    {
        var uplinks = UplinkGuess.Tree(_sources);
        var poles = PoleGuess.Of(
            from source in Enumerable.Range(0, _sources.Length)
            where IsSwitch(source)
            from port in _sources[source].Reading!.Ports
            where port.State == PortState.Delivering
            select Texts(port.Port with { PseId = _switchIds[source] }, InterfaceOf(source, port.Port)));
        ImmutableArray<DraftedSwitch> switches =
        [
            .. Enumerable.Range(0, _sources.Length).Where(IsSwitch).Select(i => Switch(i, uplinks[i], poles)),
        ];
        return new DesignDraft(
            switches,
            [.. _poles.Values],
            [.. _types.Values],
            WithOwnNames(),
            [
                .. Enumerable.Range(0, _sources.Length).Where(i => !IsSwitch(i)).Select(i => new DraftedAbsence(
                    _switchIds[i], _sources[i].Address, _sources[i].Credentials, WhyAbsent(i))),
            ]);
    }

    // A name that two devices tell says nothing of either.
    private ImmutableArray<DraftedDevice> WithOwnNames()
    {
        HashSet<string> twice = [.. _devices.GroupBy(device => device.LldpName).Where(named => named.Count() > 1).Select(named => named.Key)];
        return [.. _devices.Select(device => twice.Contains(device.LldpName) || DraftText.Clean(device.LldpName) != device.LldpName ? device with { LldpName = string.Empty } : device)];
    }

    private DraftedSwitch Switch(
        int index, (int Near, string Interface, bool IsSeenFromNear)? uplink, ImmutableDictionary<PsePortRef, (string Pole, string Text)> poles)
    {
        DraftSource source = _sources[index];
        var groups = ImmutableArray.CreateBuilder<DraftedGroup>();
        var ports = ImmutableArray.CreateBuilder<DraftedPort>();
        foreach (var group in source.Reading!.Ports.GroupBy(port => port.Port.Group).OrderBy(group => group.Key))
        {
            GroupReading? said = source.Reading.Groups.FirstOrDefault(g => g.Group == group.Key);
            PortReading[] feeding = [.. group.Where(port => port.State == PortState.Delivering)];
            ImmutableArray<DemandOfPort> demands = DemandGuess.Of(feeding, said?.Budget?.Watts);
            groups.Add(Group(group, said, demands));
            foreach (PortReading port in group.OrderBy(port => port.Port))
            {
                DemandOfPort? demand = demands.FirstOrDefault(d => d.Port == port.Port);
                if (demand is not null)
                {
                    Device(index, port, demand, poles);
                }

                if (Port(index, port, demand?.PoeClass) is { } written)
                {
                    ports.Add(written);
                }
            }
        }

        return new DraftedSwitch(
            _switchIds[index], source.SystemName, source.Address, source.Credentials, Uplink(index, uplink), groups.ToImmutable(), ports.ToImmutable(),
            source.Trouble.Length > 0 ? "answered in part: " + source.Trouble : source.SystemName.Length > 0 ? "id and name from its system name" : "has no system name");
    }

    private static DraftedGroup Group(IGrouping<int, PortReading> ports, GroupReading? said, ImmutableArray<DemandOfPort> demands)
    {
        var count = ports.Max(port => port.Port.Port);
        var reduced = demands.Any(d => d.IsReduced)
            ? "; its classes together exceed that, so demands below are shared out by draw: fill in real ones" : "";
        return said?.Budget is { Watts: >= 1 } budget
            ? new DraftedGroup(ports.Key, count, (int)budget.Watts, "budget as the agent says it, port-count the highest number" + reduced)
            : new DraftedGroup(
                ports.Key, count, Math.Max(30, (int)Math.Ceiling(demands.Sum(d => PoeTables.ClassBoundAtPse(d.PoeClass).Watts) / 0.9)),
                "fill in the budget: the agent does not say it, this is what the classes of the ports below need");
    }

    private DraftedPort? Port(int index, PortReading port, PoeClass? demanded)
    {
        PortInterface? found = InterfaceOf(index, port.Port);
        var isFed = port.State == PortState.Delivering;
        var criticality = port.Priority switch { Criticality.Critical => "critical", Criticality.High => "high", _ => null };
        PoeClass? granted = demanded > PoeClass.Class4 ? demanded : null;
        var vlan = isFed ? found?.Vlan : null;
        return granted is null && vlan is null && criticality is null
            ? null
            : new DraftedPort(
                FormattableString.Invariant($"{port.Port.Group}/{port.Port.Port}"), granted, vlan, criticality,
                "as found: " + (found is null ? "interface not known" : $"interface {found.Name}"));
    }

    private DraftedUplink? Uplink(int index, (int Near, string Interface, bool IsSeenFromNear)? uplink)
    {
        if (uplink is not { } found || !IsSwitch(found.Near))
        {
            return null;
        }

        // An interface that is a PSE port has a copper plug.
        var (own, other) = found.IsSeenFromNear ? (found.Near, index) : (index, found.Near);
        var isCopper = _sources[own].Reading?.Interfaces.Values.Any(i => i.Name == found.Interface) == true;
        return new DraftedUplink(
            _switchIds[found.Near], isCopper ? "copper" : "fibre", isCopper ? CopperLengthM : FibreLengthM,
            $"guess: {_switchIds[own]} sees {_switchIds[other]} at {found.Interface} (LLDP); the way to the service, the medium and the length are to be filled in");
    }

    private void Device(int index, PortReading port, DemandOfPort demand, ImmutableDictionary<PsePortRef, (string Pole, string Text)> poles)
    {
        PsePortRef reference = port.Port with { PseId = _switchIds[index] };
        PortTexts texts = Texts(reference, InterfaceOf(index, port.Port));
        var place = FormattableString.Invariant($"{reference.PseId}-{(reference.Group == 1 ? "" : reference.Group + "-")}{reference.Port}");
        var isNumbered = poles.TryGetValue(reference, out var guess);
        DraftedPole pole = Pole(isNumbered ? guess.Pole : "pole-" + place, isNumbered ? $"guess: from '{guess.Text}'" : $"guess: a pole of its own for the run of {reference}, no text numbers one");
        var name = texts.Alias.Length > 0 ? texts.Alias : texts.NeighbourName;
        var origin = name.Length == 0 ? "; no alias and no neighbour names it" : texts.Alias.Length > 0 ? "; name from the alias" : "; name from LLDP";
        var behind = SwitchBehind(index, port.Port);
        var fed = behind < 0 ? "" : $"fill in: it is the switch {_switchIds[behind]} (LLDP or alias); where the port feeds it, it is a pass-through switch with an agent; ";
        var slug = IdBook.Slug(name);
        _devices.Add(new DraftedDevice(
            _ids.Take(slug.Length is > 0 and <= IdLengthMax ? slug : "device-" + place), name, Type(demand), pole.Id, texts.NeighbourName, reference.ToString(),
            fed + demand.Remark + origin));
    }

    private DraftedPole Pole(string name, string remark)
    {
        if (!_poles.TryGetValue(name, out DraftedPole? pole))
        {
            _poles[name] = pole = new DraftedPole(_ids.Take(name), name, remark);
        }

        return pole;
    }

    private string Type(DemandOfPort demand)
    {
        var id = FormattableString.Invariant($"class-{(int)demand.PoeClass}{(demand.IsReduced ? $"-{demand.DemandW:0.##}w" : "")}");
        _types.TryAdd(id, new DraftedType(
            id, demand.PoeClass, demand.DemandW,
            demand.IsReduced ? "guess: what the group's budget leaves; fill in the data sheet's figure" : "guess: the most that the class takes at its input; fill in the data sheet's figure"));
        return id;
    }

    // Another of the given switches at a port, by LLDP or because the alias is its name; -1 where it is none.
    private int SwitchBehind(int index, PsePortRef port)
    {
        if (InterfaceOf(index, port) is not { } found)
        {
            return -1;
        }

        IEnumerable<Neighbour> told = found.Neighbours.Append(new Neighbour(found.Alias.Trim(), string.Empty, string.Empty));
        return told.Select(neighbour => UplinkGuess.IndexOf(neighbour, _sources)).FirstOrDefault(i => i >= 0 && i != index, -1);
    }

    private PortInterface? InterfaceOf(int index, PsePortRef port) => _sources[index].Reading!.Interfaces.GetValueOrDefault(port);

    private static PortTexts Texts(PsePortRef port, PortInterface? found) =>
        new(port, found?.Alias.Trim() ?? string.Empty, found?.Neighbours.Select(n => n.SystemName.Trim()).FirstOrDefault(name => name.Length > 0) ?? string.Empty);
}
