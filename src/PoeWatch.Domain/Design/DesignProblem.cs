namespace PoeWatch.Domain.Design;

/// <summary>A place in what somebody wrote: file, line and column counted from 1 (in CSV the column is the field's number).</summary>
public readonly record struct WrittenAt(string File, int Line, int Column)
{
    public override string ToString() => FormattableString.Invariant($"{File}:{Line}:{Column}");
}

/// <summary>A value together with the place where it was written.</summary>
public sealed record Written<T>(T Value, WrittenAt At);

/// <summary>How much a problem matters.</summary>
public enum ProblemKind
{
    /// <summary>The design is refused whole.</summary>
    Error = 0,

    /// <summary>The design is taken; the warning stands as long as its cause.</summary>
    Warning = 1,
}

/// <summary>One thing wrong with a design: where, what was written, what is wrong with it and what to do.</summary>
/// <param name="Code">Stable short name such as <c>port-limit-too-small</c>.</param>
/// <param name="At">Place in the file.</param>
/// <param name="Element">Element it is about, or empty.</param>
/// <param name="Value">The offending value as written.</param>
/// <param name="Message">What is wrong.</param>
/// <param name="Remedy">What to do.</param>
public sealed record DesignProblem(
    ProblemKind Kind, string Code, WrittenAt At, string Element, string Value, string Message, string Remedy)
{
    public override string ToString() => $"{At}: {(Kind == ProblemKind.Error ? "error" : "warning")} {Code}: {Message} Written: '{Value}'. {Remedy}";
}
