using Microsoft.CodeAnalysis.CSharp.Syntax;
using PoeWatch.House.Tests.Support;

namespace PoeWatch.House.Tests.Words;

/// <summary>A test's name is a sentence: what holds, read aloud.</summary>
public sealed class TestNameTests
{
    [Fact]
    public void Test_names_are_sentences() => Rule.HoldsFor(
        from file in Repository.Sources("tests")
        from method in file.Tree.DescendantNodes().OfType<MethodDeclarationSyntax>()
        where method.AttributeLists.SelectMany(list => list.Attributes).Any(attribute => attribute.Name.ToString() is "Fact" or "Theory")
        where !method.Identifier.Text.Contains('_', StringComparison.Ordinal) || !char.IsUpper(method.Identifier.Text[0])
        select $"{file.At(method)} {method.Identifier.Text}",
        "As in Draw_above_budget_raises_one_alarm or Rejects_a_short_header.");
}
