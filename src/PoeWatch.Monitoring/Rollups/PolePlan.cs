using PoeWatch.Domain.Readings;

namespace PoeWatch.Monitoring.Rollups;

/// <summary>The poles of a stretch of time: those whose runs all start at one element are summed while its polls go by, the others by themselves. Immutable.</summary>
public sealed class PolePlan
{
    private readonly Dictionary<string, string[]> _polesOfElement;

    private PolePlan(Dictionary<string, string[]> polesOfElement, IReadOnlyDictionary<string, IReadOnlyList<string>> acrossElements) =>
        (_polesOfElement, AcrossElements) = (polesOfElement, acrossElements);

    /// <summary>Poles with runs of several elements, with these elements.</summary>
    public IReadOnlyDictionary<string, IReadOnlyList<string>> AcrossElements { get; }

    public static PolePlan Of(IReadOnlyList<DesignPeriod> designs)
    {
        var elements = new Dictionary<string, SortedSet<string>>(StringComparer.Ordinal);
        foreach (DesignPeriod period in designs)
        {
            foreach (var pole in period.Design.CableRunsByPole.Keys)
            {
                foreach (PsePortRef port in DesignSums.OfPole(period.Design, pole) ?? [])
                {
                    if (!elements.TryGetValue(pole, out SortedSet<string>? known))
                    {
                        elements.Add(pole, known = new SortedSet<string>(StringComparer.Ordinal));
                    }

                    known.Add(port.PseId);
                }
            }
        }

        return new PolePlan(
            elements.Where(e => e.Value.Count == 1).GroupBy(e => e.Value.Min!, e => e.Key, StringComparer.Ordinal)
                .ToDictionary(g => g.Key, g => g.Order(StringComparer.Ordinal).ToArray(), StringComparer.Ordinal),
            elements.Where(e => e.Value.Count > 1).ToDictionary(e => e.Key, e => (IReadOnlyList<string>)[.. e.Value], StringComparer.Ordinal));
    }

    /// <summary>Poles that this element alone feeds.</summary>
    public IReadOnlyList<string> PolesOf(string pseId) => _polesOfElement.GetValueOrDefault(pseId, []);
}
