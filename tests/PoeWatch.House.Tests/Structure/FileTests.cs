using Microsoft.CodeAnalysis;
using Microsoft.CodeAnalysis.CSharp;
using Microsoft.CodeAnalysis.CSharp.Syntax;
using PoeWatch.House.Tests.Support;

namespace PoeWatch.House.Tests.Structure;

/// <summary>Files and functions stay short enough to be read in one go.</summary>
public sealed class FileTests
{
    private const int FileLinesMax = 400;
    private const int FunctionLinesMax = 70;
    private const int MedianLinesMax = 60;
    private static readonly string[] WrittenByHand = [".cs", ".ts", ".css", ".html", ".sh", ".sql", ""];

    [Fact]
    public void Every_file_parses() => Rule.HoldsFor(
        from file in Repository.Sources("src", "tests")
        from fault in file.Tree.GetDiagnostics()
        where fault.Severity == DiagnosticSeverity.Error
        select $"{file.Path} {fault}",
        "The other rules read syntax trees: raise Microsoft.CodeAnalysis.CSharp where the language moved on.");

    [Fact]
    public void No_file_is_longer_than_400_lines() => Rule.HoldsFor(
        from path in Repository.AllFiles
        where path.StartsWith("src/", StringComparison.Ordinal) || path.StartsWith("tests/", StringComparison.Ordinal) || path.StartsWith(".ci/", StringComparison.Ordinal)
        where WrittenByHand.Contains(Path.GetExtension(path)) && !path.Contains("/wwwroot/", StringComparison.Ordinal) && !path.Contains("/dist/", StringComparison.Ordinal)
        let lines = File.ReadLines(Path.Combine(Repository.Root, path)).Count()
        where lines > FileLinesMax
        select $"{path}: {lines} lines",
        "Split by message, state and policy.");

    [Fact]
    public void The_median_file_of_the_product_has_at_most_60_lines()
    {
        int[] lengths = [.. Repository.Sources("src").Select(file => file.LineCount).Order()];
        var median = lengths[lengths.Length / 2];
        TestContext.Current.SendDiagnosticMessage($"{lengths.Length} files, median {median}, longest {lengths[^1]} lines");

        Assert.InRange(median, 1, MedianLinesMax);
    }

    [Fact]
    public void No_function_is_longer_than_70_lines() => Rule.HoldsFor(
        from file in Repository.Sources("src", "tests")
        from function in file.Tree.DescendantNodes()
        where function is BaseMethodDeclarationSyntax or LocalFunctionStatementSyntax or AccessorDeclarationSyntax
        let span = function.GetLocation().GetLineSpan()
        let lines = span.EndLinePosition.Line - span.StartLinePosition.Line + 1
        where lines > FunctionLinesMax
        select $"{file.At(function)}: {lines} lines",
        "One function decides, leaves are pure.");

    [Fact]
    public void Namespaces_follow_the_folders() => Rule.HoldsFor(
        from file in Repository.Sources("src", "tests")
        let expected = Path.GetDirectoryName(file.Path)!.Replace('\\', '/').Split('/', 2)[1].Replace('/', '.')
        from space in file.Tree.DescendantNodes().OfType<BaseNamespaceDeclarationSyntax>()
        where space.Name.ToString() != expected || space.IsKind(SyntaxKind.NamespaceDeclaration)
        select $"{file.At(space)} says {space.Name}, its folder says {expected}",
        "File-scoped, and the folder's name.");

    [Fact]
    public void No_file_folds_its_code_into_regions() => Rule.HoldsFor(
        from file in Repository.Sources("src", "tests")
        from region in file.Tree.DescendantTrivia(descendIntoTrivia: true)
        where region.IsKind(SyntaxKind.RegionDirectiveTrivia)
        select file.At(region),
        "A class that needs regions is several classes.");
}
