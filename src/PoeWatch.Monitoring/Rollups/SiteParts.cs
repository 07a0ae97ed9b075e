using PoeWatch.Domain.Rollups;

namespace PoeWatch.Monitoring.Rollups;

/// <summary>Adds up what is known of the elements of a site, one after another, so that not all of them are held. Used once; not thread safe.</summary>
/// <param name="elements">How many there are.</param>
internal sealed class SiteParts(PlaceRollups site, int elements)
{
    private readonly double[][] _energies = [.. site.BySteps.Select(s => new double[s.Count])];
    private readonly double[][] _coverages = [.. site.BySteps.Select(s => new double[s.Count])];

    /// <summary>All intervals of one element.</summary>
    public void Add(PlaceRollups element)
    {
        for (var step = 0; step < element.BySteps.Length; step++)
        {
            for (var i = 0; i < element.BySteps[step].Count; i++)
            {
                Add(step, i, element.BySteps[step][i]);
            }
        }
    }

    /// <summary>One interval of an element, the i-th of a step; nothing where there is no such interval.</summary>
    public void Add(int step, int i, DrawRollup part)
    {
        if (i >= 0 && i < _energies[step].Length)
        {
            _energies[step][i] += part.PartsEnergyWattHours;
            _coverages[step][i] += part.PartsCoverage / elements;
        }
    }

    /// <summary>The site with them; as it was where there is no element.</summary>
    public PlaceRollups Finish() => elements == 0 ? site : site with
    {
        BySteps =
        [
            .. site.BySteps.Select((intervals, step) => (IReadOnlyList<DrawRollup>)
            [
                .. intervals.Select((interval, i) => interval with { PartsEnergyWattHours = _energies[step][i], PartsCoverage = Math.Min(1, _coverages[step][i]) }),
            ]),
        ],
    };
}
