using Microsoft.CodeAnalysis;
using Microsoft.CodeAnalysis.CSharp;
using Microsoft.CodeAnalysis.CSharp.Syntax;
using PoeWatch.House.Tests.Support;

namespace PoeWatch.House.Tests.Words;

/// <summary>
/// Time and chance are parameters. The analyser of config/build/BannedSymbols.txt refuses most of this at build time;
/// these rules also see code that silences it, and what it cannot name.
/// </summary>
public sealed class BannedCallTests
{
    /// <summary>File, a space and the words; the reason.</summary>
    private static readonly Dictionary<string, string> Exemptions = [];

    private static readonly HashSet<string> BannedMembers =
    [
        "DateTime.Now", "DateTime.UtcNow", "DateTime.Today", "DateTimeOffset.Now", "DateTimeOffset.UtcNow",
        "Thread.Sleep", "Random.Shared", "Guid.NewGuid", "Guid.CreateVersion7", "Environment.TickCount", "Environment.TickCount64",
        "Stopwatch.StartNew", "Stopwatch.GetTimestamp", "Assert.Skip", "Assert.SkipWhen", "Assert.SkipUnless",
    ];

    [Fact]
    public void No_code_reads_the_clock_draws_by_chance_sleeps_or_skips_a_test() => Rule.HoldsFor(
        from file in Repository.Sources("src", "tests")
        from access in file.Tree.DescendantNodes().OfType<MemberAccessExpressionSyntax>()
        let words = $"{LastName(access.Expression)}.{access.Name.Identifier.Text}"
        where BannedMembers.Contains(words)
        select ($"{file.Path} {words}", $"{file.At(access)} {words}"),
        Exemptions,
        "Take a TimeProvider or a seeded Random by constructor; let a test fail, not skip.");

    [Fact]
    public void Nothing_is_left_for_later() => Rule.HoldsFor(
        from file in Repository.Sources("src", "tests")
        from made in file.Tree.DescendantNodes().OfType<ObjectCreationExpressionSyntax>()
        where LastName(made.Type) == nameof(NotImplementedException)
        select file.At(made),
        "Build it, or leave it out.");

    [Fact]
    public void No_test_is_marked_to_be_skipped() => Rule.HoldsFor(
        from file in Repository.Sources("tests")
        from argument in file.Tree.DescendantNodes().OfType<AttributeArgumentSyntax>()
        where argument.NameEquals?.Name.Identifier.Text is "Skip" or "SkipWhen" or "SkipUnless" or "Explicit"
        select file.At(argument),
        "A test that does not run proves nothing.");

    [Fact]
    public void No_analyser_is_silenced_without_a_reason_on_the_line() => Rule.HoldsFor(
        from file in Repository.Sources("src", "tests")
        from directive in file.Tree.DescendantTrivia(descendIntoTrivia: true)
        where directive.IsKind(SyntaxKind.PragmaWarningDirectiveTrivia)
        let text = directive.ToFullString()
        where text.Contains("disable", StringComparison.Ordinal) && !text.Contains("//", StringComparison.Ordinal)
        select $"{file.At(directive)} {text.Trim()}",
        "Write '// why' behind the pragma, or obey it.");

    [Fact]
    public void Work_for_later_has_an_issue_number() => Rule.HoldsFor(
        from file in Repository.Sources("src", "tests")
        from comment in file.Tree.DescendantTrivia(descendIntoTrivia: true)
        where comment.IsKind(SyntaxKind.SingleLineCommentTrivia) || comment.IsKind(SyntaxKind.MultiLineCommentTrivia)
        let text = comment.ToString()
        where LaterWords.Any(word => text.Contains(word, StringComparison.Ordinal)) && !text.Contains("(#", StringComparison.Ordinal)
        select $"{file.At(comment)} {text}",
        "File an issue and write its number behind the word, as in (#12).");

    private static string[] LaterWords => ["TODO", "FIXME", "HACK", "XXX"];

    private static string LastName(SyntaxNode expression) => expression switch
    {
        IdentifierNameSyntax name => name.Identifier.Text,
        MemberAccessExpressionSyntax access => access.Name.Identifier.Text,
        QualifiedNameSyntax name => name.Right.Identifier.Text,
        _ => "",
    };
}
