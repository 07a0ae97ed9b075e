using System.Text.RegularExpressions;

namespace PoeWatch.House.Tests.Words;

/// <summary>Words that docs/architecture.md refuses, and the names that may hold them all the same.</summary>
internal static partial class Glossary
{
    /// <summary>Refused wherever they stand in a name, singular or plural.</summary>
    private static readonly Dictionary<string, string> Refused = new(StringComparer.OrdinalIgnoreCase)
    {
        ["usage"] = "draw",
        ["consumption"] = "draw",
        ["probe"] = "poll, or the thing's own name",
        ["sensor"] = "port, or a column's MIB name",
        ["host"] = "switch, agent or address",
        ["node"] = "the element's own name",
        ["link"] = "segment",
        ["stale"] = "silent, or say the age",
        ["blind"] = "unmetered or silent",
    };

    /// <summary>Refused where they are the whole name of a type, property, field or parameter: each means two things here.</summary>
    private static readonly Dictionary<string, string> RefusedBare = new(StringComparer.Ordinal)
    {
        ["Run"] = "CableRun",
        ["Class"] = "PoeClass, RequestedClass or AssignedClass",
        ["Current"] = "a name that says whether amperes or the newest is meant",
    };

    /// <summary>Type or Type.Member; the reason.</summary>
    public static readonly Dictionary<string, string> Exemptions = new(StringComparer.Ordinal)
    {
        ["Current"] = "the quantity itself, in amperes",
        ["FlowPoint.Current"] = "is of the quantity's type",
        ["DeviceTypeConfig.Class"] = "a key of the design file, where the entry around it says whose class",
        ["PsePortConfig.Class"] = "a key of the design file, where the entry around it says whose class",
        ["FlowNode"] = "a point of the solver's tree has no other name in circuit theory",
        ["FlowNodeKind"] = "kind of a FlowNode",
        ["ISiteView.Current"] = "the newest view, as in IEnumerator.Current",
        ["SiteViewHolder.Current"] = "implements ISiteView",
        ["ServiceHealthView.Current"] = "implements IServiceHealth",
        ["IServiceHealth.Current"] = "the newest state, as in IEnumerator.Current",
    };

    /// <summary>What is wrong with a name; null where nothing is.</summary>
    public static string? Fault(string name, bool isNoun = true)
    {
        if (isNoun && RefusedBare.TryGetValue(name, out var fuller))
        {
            return $"'{name}' alone: write {fuller}";
        }

        foreach (Match word in NameWord().Matches(name))
        {
            var singular = word.Value.EndsWith('s') ? word.Value[..^1] : word.Value;
            if (Refused.TryGetValue(word.Value, out var better) || Refused.TryGetValue(singular, out better))
            {
                return $"'{word.Value}' in {name}: write {better}";
            }
        }

        return null;
    }

    [GeneratedRegex("[A-Z]+(?![a-z])|[A-Z][a-z]*|[a-z]+")]
    private static partial Regex NameWord();
}
