using System.Collections.Immutable;
using PoeWatch.Domain.Quantities;

namespace PoeWatch.Domain.Poe;

/// <summary>
/// Requested against assigned class: a PSE short of power answers with fewer class events and so assigns less, in the steps 8, 6, 4, 3 (onsemi NCP1095 board manual, p. 2).
/// The PD then has to stay within the assigned class or lose power. Pure and thread safe.
/// </summary>
public static class ClassDemotion
{
    private static readonly ImmutableArray<PoeClass> s_steps = [PoeClass.Class6, PoeClass.Class4, PoeClass.Class3];

    /// <summary>The class asked for and what it can be demoted to, highest first. Classes 0 to 3 are granted or denied, never demoted.</summary>
    public static IEnumerable<PoeClass> Steps(PoeClass requested) => s_steps.Where(step => step < requested).Prepend(requested);

    /// <summary>The class that a PSE assigns with so much power left for the port; null where even the lowest step asks for more: denied.</summary>
    /// <param name="available">Watts at the PSE that it can still set aside, port limit taken into account.</param>
    public static PoeClass? Assigned(PoeClass requested, PoeType pseType, Power available)
    {
        var highest = PoeTables.LimitsOf(pseType)?.MaximumClass ?? PoeClass.Class8;
        foreach (var step in Steps(requested))
        {
            if (step <= highest && PoeTables.LimitsOf(step, pseType).PseMinimumOutput <= available)
            {
                return step;
            }
        }

        return null;
    }

    /// <summary>True where the PD was given less than it asked for.</summary>
    public static bool IsDemoted(PoeClass requested, PoeClass assigned) => assigned < requested;
}
