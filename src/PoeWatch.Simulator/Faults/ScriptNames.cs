using System.Collections.Immutable;
using System.Globalization;
using System.Text.RegularExpressions;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.Readings;

namespace PoeWatch.Simulator.Faults;

/// <summary>A sentence that a script may use: how it is written, by which its shape is known, and what it means; null where a name or figure is wrong, which is then noted.</summary>
internal sealed record ScriptSentence(string Pattern, Regex Shape, Func<Match, ScriptNames, SimulatedEvent?> Read);

/// <summary>Looks names up in the design and notes those that it does not have.</summary>
internal sealed class ScriptNames(
    DesignModel design, HashSet<PsePortRef> ports, int line, ImmutableArray<FaultScriptProblem>.Builder problems)
{
    public void Problem(string value, string message, string remedy) => problems.Add(new(line, value, message, remedy));

    public string? Device(Match match) => Known(match.Groups["id"].Value, "device", design.Devices.ContainsKey);

    public string? Element(Match match) => Known(
        match.Groups["id"].Value,
        "device, extender or pass-through switch",
        id => design.Devices.ContainsKey(id) || design.Extenders.ContainsKey(id) || design.PassThroughSwitches.ContainsKey(id));

    public bool IsAgent(string id) => Known(
        id, "element with an agent", of => design.Agents.ContainsKey(of) || design.UpsUnits.TryGetValue(of, out var ups) && ups.Agent is not null) is not null;

    /// <summary>Names between commas; null where one of them is not known.</summary>
    public ImmutableArray<string>? Each(Match match, Func<string, bool> isKnown)
    {
        var ids = match.Groups["ids"].Value.Split(',', StringSplitOptions.TrimEntries | StringSplitOptions.RemoveEmptyEntries);
        var known = ids.Where(isKnown).ToImmutableArray();
        return known.Length == ids.Length ? known : null;
    }

    public bool HasMains(string id) => Known(id, "switch or injector", of => design.Switches.ContainsKey(of) || design.Injectors.ContainsKey(of)) is not null;

    public string? Agent(Match match) => IsAgent(match.Groups["id"].Value) ? match.Groups["id"].Value : null;

    public string? DeviceType(Match match) => Known(match.Groups["type"].Value, "device type", design.DeviceTypes.ContainsKey);

    /// <summary>The designed device of a group of the sentence.</summary>
    public PoweredDevice? Device(string id) => Known(id, "device", design.Devices.ContainsKey) is null ? null : design.Devices[id];

    public string? Ups(Match match) => Known(match.Groups["id"].Value, "UPS", design.UpsUnits.ContainsKey);

    /// <summary>An element whose agent shows a thermometer in a cabinet.</summary>
    public string? Cabinet(Match match) => Known(
        match.Groups["id"].Value, "cabinet thermometer at an agent", id => design.Conditions.Thermometers.Any(t => t.Cabinet is not null && t.PseId == id));

    public string? Segment(Match match)
    {
        var id = match.Groups["id"].Value;
        if (design.CableRuns.Values.SelectMany(run => run.Root.SelfAndBelow()).Any(place => place.Incoming.Id == id))
        {
            return id;
        }

        Problem(id, "The design has no cable of this name.", "Write the id of the cable; one that the design does not name is called cable- and the element that it feeds.");
        return null;
    }

    public string? LoadCase(Match match) =>
        Known(match.Groups["id"].Value, "load case", id => design.LoadCases.Any(loadCase => loadCase.Id == id));

    public PsePortRef? Port(Match match)
    {
        var text = match.Groups["port"].Value;
        if (!PsePortRef.TryParse(text, out var port))
        {
            Problem(text, "This is no PSE port.", "Write element, group and port, such as quay-west:1/7.");
            return null;
        }

        return Known(text, "PSE port", _ => ports.Contains(port)) is null ? null : port;
    }

    public SupplyRef? Supply(Match match)
    {
        var pse = match.Groups["pse"].Value;
        var supply = match.Groups["id"].Value;
        var group = int.Parse(match.Groups["group"].Value, CultureInfo.InvariantCulture);
        if (design.Switches.TryGetValue(pse, out var found)
            && found.Groups.TryGetValue(group, out var pseGroup)
            && pseGroup.Supplies.Any(s => s.Id == supply))
        {
            return new SupplyRef(pse, group, supply);
        }

        Problem(match.Value, "The design has no such supply.", "Name a switch, its group and one of the group's supplies.");
        return null;
    }

    private string? Known(string id, string what, Func<string, bool> isKnown)
    {
        if (isKnown(id))
        {
            return id;
        }

        Problem(id, $"The design has no {what} of this name.", "Take the name from the design file.");
        return null;
    }
}
