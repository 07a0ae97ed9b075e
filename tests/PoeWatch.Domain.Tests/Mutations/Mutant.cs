using System.Globalization;
using Microsoft.CodeAnalysis.Text;

namespace PoeWatch.Domain.Tests.Mutations;

/// <summary>One small change of the product's source: a constant, a sign, a comparison or a connective.</summary>
/// <param name="File">Path below the room, such as <c>PowerFlow/FlowSweep.cs</c>.</param>
/// <param name="Line">From 1.</param>
/// <param name="Code">The line as it stands, trimmed.</param>
/// <param name="Span">What is replaced.</param>
/// <param name="Original">Text that is replaced.</param>
/// <param name="Replacement">Text that takes its place.</param>
internal sealed record Mutant(string File, int Line, string Code, TextSpan Span, string Original, string Replacement)
{
    /// <summary>Where and what, without the line number, which every other change moves.</summary>
    public string Key => $"{File} | {Code} | {Original} -> {Replacement}";

    public override string ToString() => string.Create(CultureInfo.InvariantCulture, $"{File}:{Line}: {Original} -> {Replacement}    {Code}");
}
