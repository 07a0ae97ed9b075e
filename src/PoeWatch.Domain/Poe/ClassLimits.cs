using PoeWatch.Domain.Quantities;

namespace PoeWatch.Domain.Poe;

/// <summary>What one class means in one clause. Immutable and thread safe; <c>default</c> is no row of the table.</summary>
/// <param name="PseMinimumOutput">What a PSE that granted the class gives at least, at the PSE.</param>
/// <param name="PdMaximumInput">What a PD of the class takes at most, at the PD.</param>
/// <param name="Source">Where the two numbers were read.</param>
public readonly record struct ClassLimits(
    PoeClass PoeClass, PoeClause Clause, Power PseMinimumOutput, Power PdMaximumInput, string Source);
