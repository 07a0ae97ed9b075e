using PoeWatch.Domain.Design;
using PoeWatch.Domain.Quantities;

namespace PoeWatch.Domain.Assessment;

/// <summary>One rule for all places: what remains against the floors of the policy.</summary>
internal static class Grading
{
    /// <param name="headroom">What remains; negative where a limit is broken.</param>
    /// <param name="limit">What the relative floors are a share of.</param>
    /// <param name="otherwise">The grade above both floors.</param>
    public static HeadroomGrade Of(Power headroom, Power limit, HeadroomLevels levels, HeadroomGrade otherwise)
    {
        if (headroom < Power.Zero)
        {
            return HeadroomGrade.Over;
        }

        if (headroom < levels.Late.For(limit))
        {
            return HeadroomGrade.Spent;
        }

        return headroom < levels.Early.For(limit) ? HeadroomGrade.Slim : otherwise;
    }
}
