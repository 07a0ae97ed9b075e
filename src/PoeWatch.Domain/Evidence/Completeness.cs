using PoeWatch.Domain.Quantities;

namespace PoeWatch.Domain.Evidence;

/// <summary>How much of a period is there. Pure.</summary>
/// <param name="Valid">Steps that enough of is covered by draws.</param>
/// <param name="Expected">All steps of the period.</param>
public readonly record struct Completeness(int Valid, int Expected)
{
    /// <summary>Valid over expected, 0..1; 0 where nothing is expected.</summary>
    public Ratio Share => Expected == 0 ? default : Ratio.FromFraction((double)Valid / Expected);

    /// <param name="coverageMin">A step is valid from this coverage on, 0..1.</param>
    public static Completeness Of(IReadOnlyCollection<DrawStep> steps, double coverageMin) =>
        new(steps.Count(s => s.Coverage >= coverageMin), steps.Count);
}
