using System.Globalization;
using PoeWatch.Domain.Alarms;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.Readings;

namespace PoeWatch.Domain.Notices;

/// <summary>Where the resources of alarms are, by the design: their poles. Pure and thread safe.</summary>
public sealed class NoticePlaces(DesignModel design)
{
    private const string PolePrefix = "pole/";
    private const string GroupPrefix = "group/";
    private const int NamedMax = 6;

    /// <summary>Poles that an alarm of this resource concerns, nearest first; of a switch or group all that it feeds. Empty where the design has none.</summary>
    public IReadOnlyList<string> PoleIds(string resource)
    {
        if (Rest(resource, PolePrefix) is { } pole)
        {
            return design.Poles.ContainsKey(pole) ? [pole] : [];
        }

        if (Rest(resource, AlarmResources.RunPrefix) is { } run)
        {
            return design.CableRuns.TryGetValue(run, out var found) ? found.PoleIds : [];
        }

        return [.. Ports(resource).SelectMany(run => run.PoleIds).Distinct()];
    }

    /// <summary>"pole Quay 3", "poles Quay 3, Quay 4 and 5 more", or nothing.</summary>
    public string Words(string resource)
    {
        string[] names = [.. PoleIds(resource).Select(id => design.Poles.TryGetValue(id, out var pole) ? pole.Name : id)];
        return names.Length switch
        {
            0 => "",
            1 => $"pole {names[0]}",
            <= NamedMax => $"poles {string.Join(", ", names)}",
            _ => string.Create(CultureInfo.InvariantCulture, $"poles {string.Join(", ", names.Take(NamedMax))} and {names.Length - NamedMax} more"),
        };
    }

    private IEnumerable<CableRun> Ports(string resource)
    {
        if (Rest(resource, AlarmResources.PortPrefix) is { } port)
        {
            return design.CableRuns.Values.Where(run => run.Source.Port?.ToString() == port);
        }

        if (Rest(resource, GroupPrefix) is { } group)
        {
            return design.CableRuns.Values.Where(run => run.Source.Port is { } at && GroupOf(at) == group);
        }

        return Rest(resource, AlarmResources.SwitchPrefix) is { } pseId
            ? design.CableRuns.Values.Where(run => run.Source.Port?.PseId == pseId)
            : [];
    }

    private static string GroupOf(PsePortRef at) => AlarmResources.Group(at.PseId, at.Group)[GroupPrefix.Length..];

    private static string? Rest(string resource, string prefix) =>
        resource.StartsWith(prefix, StringComparison.Ordinal) ? resource[prefix.Length..] : null;
}
