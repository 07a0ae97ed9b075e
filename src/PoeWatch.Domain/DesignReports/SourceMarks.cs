using System.Globalization;

namespace PoeWatch.Domain.DesignReports;

/// <summary>Where the limits of a report come from, numbered S1, S2 and so on, so that each limit can name its source in a word.</summary>
internal sealed class SourceMarks
{
    private readonly Dictionary<string, string> _names = new(StringComparer.Ordinal);

    internal SourceMarks(DesignReport report)
    {
        var limits = report.Switches.SelectMany(pse => pse.Groups).SelectMany(group => group.Limits)
            .Concat(report.CableRuns.SelectMany(run => run.Expected.Limits.Concat(run.Guaranteed.Limits)));
        foreach (var limit in limits)
        {
            _names.TryAdd(limit.Source, string.Create(CultureInfo.InvariantCulture, $"S{_names.Count + 1}"));
        }
    }

    /// <summary>Name and source, in the order of their first use.</summary>
    internal IEnumerable<(string Name, string Source)> All => _names.Select(pair => (pair.Value, pair.Key));

    internal string Of(ReportLimit limit) => _names[limit.Source];
}
