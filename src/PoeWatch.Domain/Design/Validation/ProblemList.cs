using System.Collections.Immutable;

namespace PoeWatch.Domain.Design.Validation;

/// <summary>
/// Collects what is wrong. Elements whose figures were refused are tainted: they go on with stand-ins that no power rule may judge.
/// </summary>
internal sealed class ProblemList
{
    private readonly List<DesignProblem> _problems = [];
    private readonly HashSet<string> _tainted = new(StringComparer.Ordinal);

    public bool HasError => _problems.Exists(problem => problem.Kind == ProblemKind.Error);

    public void Error(string code, WrittenAt at, string element, string value, string message, string remedy) =>
        _problems.Add(new DesignProblem(ProblemKind.Error, code, at, element, value, message, remedy));

    public void Error(string code, Written<string> written, string element, string message, string remedy) =>
        Error(code, written.At, element, written.Value, message, remedy);

    public void Warning(string code, WrittenAt at, string element, string value, string message, string remedy) =>
        _problems.Add(new DesignProblem(ProblemKind.Warning, code, at, element, value, message, remedy));

    public void Add(DesignProblem problem) => _problems.Add(problem);

    public void Taint(string element) => _tainted.Add(element);

    public bool IsTainted(string element) => _tainted.Contains(element);

    public ImmutableArray<DesignProblem> InOrder() =>
        [.. _problems.Distinct().OrderBy(p => p.At.File, StringComparer.Ordinal).ThenBy(p => p.At.Line).ThenBy(p => p.At.Column)];
}
