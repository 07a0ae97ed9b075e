using System.Collections.Immutable;
using PoeWatch.Domain.Readings;

namespace PoeWatch.Domain.Design.Validation;

/// <summary>Reads port numbers of a switch and holds them against its groups.</summary>
internal static class PortNumbers
{
    /// <summary>Reads <c>7</c> or <c>1/7</c>, whatever the element's id is worth; its own fault is told elsewhere.</summary>
    public static bool TryNumbers(string element, string text, out PsePortRef port)
    {
        var isRead = PsePortRef.TryParse("x:" + text, out port);
        port = port with { PseId = element };
        return isRead;
    }

    /// <summary>Reads <c>7</c> or <c>1/7</c> as a port of the element.</summary>
    public static bool TryRead(
        ProblemList problems, Written<string> written, string element, string text, ImmutableSortedDictionary<int, PseGroup> groups, out PsePortRef port)
    {
        if (!TryNumbers(element, text, out port))
        {
            problems.Error(
                "malformed-port", written, element, $"'{text}' is not a port number.", "Write a port number such as 7, or 'group/port' such as 1/7.");
            return false;
        }

        return Exists(problems, written, element, groups, port);
    }

    /// <summary>True where group and port can exist; else reported under <paramref name="element"/>.</summary>
    public static bool Exists(
        ProblemList problems, Written<string> written, string element, ImmutableSortedDictionary<int, PseGroup> groups, PsePortRef port)
    {
        if (groups.Count == 0)
        {
            return true; // The missing group is reported at the switch.
        }

        if (!groups.TryGetValue(port.Group, out var group))
        {
            problems.Error(
                "unknown-group", written, element, $"'{port.PseId}' has no PSE group {port.Group}.",
                $"Its groups are {string.Join(", ", groups.Keys)}: name one of them, or add the group under 'groups'.");
            return false;
        }

        if (port.Port > group.PortCount)
        {
            problems.Error(
                "output-beyond-count", written, element, $"Group {port.Group} of '{port.PseId}' has {group.PortCount} ports.",
                $"Name a port from 1 to {group.PortCount}, or correct 'port-count'.");
            return false;
        }

        return true;
    }
}
