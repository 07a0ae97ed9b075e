using System.Collections.Immutable;

namespace PoeWatch.Domain.Design;

/// <summary>What a check of a design came to: every problem at once, and a model exactly where none of them is an error.</summary>
/// <param name="Model">Null where the design is refused.</param>
/// <param name="Problems">Errors and warnings in the order of their places.</param>
public sealed record DesignResult(DesignModel? Model, ImmutableArray<DesignProblem> Problems)
{
    public IEnumerable<DesignProblem> Errors => Problems.Where(problem => problem.Kind == ProblemKind.Error);

    public IEnumerable<DesignProblem> Warnings => Problems.Where(problem => problem.Kind == ProblemKind.Warning);
}
