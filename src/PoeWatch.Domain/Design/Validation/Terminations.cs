using PoeWatch.Domain.Design.Config;
using PoeWatch.Domain.Readings;

namespace PoeWatch.Domain.Design.Validation;

/// <summary>Reads where a cable starts or an injector takes its data: <c>quay-west:1/7</c>, <c>inj-3</c>, <c>ext-1:2</c>.</summary>
internal static class Terminations
{
    /// <summary>The feeding end of a cable; null where it cannot be, which is reported under <paramref name="element"/>.</summary>
    public static Termination? ReadFrom(DesignParts parts, Written<string> written, string element)
    {
        var (id, tail) = Split(written.Value);
        switch (parts.Elements.KindOf(id))
        {
            case ElementKind.Switch:
                return ReadSwitchPort(parts, written, element, id, tail) is { } port ? new Termination(id, port.Group, port.Port) : null;
            case ElementKind.Injector:
                return ReadOutput(parts, written, element, id, tail, count: 1);
            case ElementKind.Extender:
                return ReadOutput(parts, written, element, id, tail, parts.Extenders[id].OutputCount);
            case ElementKind.PassThroughSwitch:
                return ReadOutput(parts, written, element, id, tail, parts.PassThroughSwitches[id].OutputCount);
            case ElementKind.Pole or ElementKind.Device or ElementKind.Cable:
                parts.Problems.Error(
                    "no-output", written, element, $"'{id}' has no output that could feed a cable.",
                    "Start the cable at a port of a switch, an injector, an extender or a pass-through switch.");
                return null;
            default:
                parts.Problems.Error(
                    "unknown-element", written, element, $"There is no element '{id}'.",
                    $"{Suggestion.Hint(id, Feeders(parts))}Name a switch port (quay-west:1/7), an injector, or an output (ext-1:2).");
                return null;
        }
    }

    /// <summary>A switch port, or an output of a pass-through switch; null where it cannot be, which is reported.</summary>
    public static PsePortRef? ReadPort(DesignParts parts, Written<string> written, string element, string key)
    {
        var (id, tail) = Split(written.Value);
        switch (parts.Elements.KindOf(id))
        {
            case ElementKind.Switch:
                return ReadSwitchPort(parts, written, element, id, tail);
            case ElementKind.PassThroughSwitch:
                var output = ReadOutput(parts, written, element, id, tail, parts.PassThroughSwitches[id].OutputCount);
                return output is { } at ? new PsePortRef(id, at.Group, at.Output) : null;
            default:
                var ports = parts.Elements.IdsOf(ElementKind.Switch).Concat(parts.Elements.IdsOf(ElementKind.PassThroughSwitch));
                parts.Problems.Error(
                    "unknown-port", written, element, $"'{key}' names no switch port: there is no switch '{id}'.",
                    $"{Suggestion.Hint(id, ports)}Name a port as 'switch:group/port'.");
                return null;
        }
    }

    private static PsePortRef? ReadSwitchPort(DesignParts parts, Written<string> written, string element, string id, string? tail)
    {
        if (tail is null || !PortNumbers.TryNumbers(id, tail, out var port))
        {
            parts.Problems.Error(
                "malformed-port", written, element, $"'{written.Value}' does not name a port of '{id}'.",
                $"Write the port as '{id}:7', or with its group as '{id}:1/7'.");
            return null;
        }

        return PortNumbers.Exists(parts.Problems, written, element, parts.Switches[id].Groups, port) ? port : null;
    }

    private static Termination? ReadOutput(DesignParts parts, Written<string> written, string element, string id, string? tail, int count)
    {
        var port = new PsePortRef(id, 1, 1);
        if (tail is null ? count > 1 : !PortNumbers.TryNumbers(id, tail, out port))
        {
            parts.Problems.Error(
                "malformed-port", written, element, $"'{written.Value}' does not name an output of '{id}'.", $"Write the output as '{id}:1' to '{id}:{count}'.");
            return null;
        }

        // A count that was itself refused is a stand-in: nothing can be said about outputs then.
        if ((port.Group != 1 || port.Port > count) && !parts.Problems.IsTainted(id))
        {
            parts.Problems.Error(
                "output-beyond-count", written, element, $"'{id}' has {count} output{(count == 1 ? "" : "s")}.",
                $"Write an output from '{id}:1' to '{id}:{count}'.");
            return null;
        }

        return new Termination(id, port.Group, port.Port);
    }

    private static (string Id, string? Tail) Split(string text)
    {
        var colon = text.IndexOf(':');
        return colon < 0 ? (text, null) : (text[..colon], text[(colon + 1)..]);
    }

    private static IEnumerable<string> Feeders(DesignParts parts) =>
        new[] { ElementKind.Switch, ElementKind.Injector, ElementKind.Extender, ElementKind.PassThroughSwitch }.SelectMany(parts.Elements.IdsOf);
}
