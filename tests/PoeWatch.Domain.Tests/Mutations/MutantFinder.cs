using System.Globalization;
using Microsoft.CodeAnalysis;
using Microsoft.CodeAnalysis.CSharp;
using Microsoft.CodeAnalysis.CSharp.Syntax;

namespace PoeWatch.Domain.Tests.Mutations;

/// <summary>
/// Lists the changes that a source file allows: a number by a hundredth (a whole one by 1), plus for minus, times for divided by, a lost minus or not,
/// each comparison for its neighbour, and for or, the smaller for the larger.
/// </summary>
internal static class MutantFinder
{
    private static readonly Dictionary<SyntaxKind, string> s_tokens = new()
    {
        [SyntaxKind.PlusToken] = "-",
        [SyntaxKind.MinusToken] = "+",
        [SyntaxKind.AsteriskToken] = "/",
        [SyntaxKind.SlashToken] = "*",
        [SyntaxKind.PlusEqualsToken] = "-=",
        [SyntaxKind.MinusEqualsToken] = "+=",
        [SyntaxKind.AsteriskEqualsToken] = "/=",
        [SyntaxKind.SlashEqualsToken] = "*=",
        [SyntaxKind.LessThanToken] = "<=",
        [SyntaxKind.LessThanEqualsToken] = "<",
        [SyntaxKind.GreaterThanToken] = ">=",
        [SyntaxKind.GreaterThanEqualsToken] = ">",
        [SyntaxKind.EqualsEqualsToken] = "!=",
        [SyntaxKind.ExclamationEqualsToken] = "==",
        [SyntaxKind.AmpersandAmpersandToken] = "||",
        [SyntaxKind.BarBarToken] = "&&",
    };

    public static IEnumerable<Mutant> In(string file, SyntaxTree tree)
    {
        var text = tree.GetText();
        foreach (var (token, replacement) in tree.GetRoot().DescendantNodes(IsLookedInto).SelectMany(ChangesOf))
        {
            var line = text.Lines.GetLineFromPosition(token.SpanStart);
            yield return new Mutant(file, line.LineNumber + 1, line.ToString().Trim(), token.Span, token.Text, replacement);
        }
    }

    // Numbers of an enum's members are names for storage, not physics; what an exception says is not arithmetic.
    private static bool IsLookedInto(SyntaxNode at) => at is not (EnumDeclarationSyntax or AttributeListSyntax or ThrowStatementSyntax or ThrowExpressionSyntax);

    private static IEnumerable<(SyntaxToken Token, string Replacement)> ChangesOf(SyntaxNode at) => at switch
    {
        LiteralExpressionSyntax literal when literal.IsKind(SyntaxKind.NumericLiteralExpression) => [(literal.Token, Nudged(literal.Token))],
        BinaryExpressionSyntax { Left: var left, Right: var right } binary when !IsText(left) && !IsText(right) => Swapped(binary.OperatorToken),
        AssignmentExpressionSyntax assignment => Swapped(assignment.OperatorToken),
        RelationalPatternSyntax pattern => Swapped(pattern.OperatorToken),
        BinaryPatternSyntax pattern => [(pattern.OperatorToken, pattern.IsKind(SyntaxKind.AndPattern) ? "or" : "and")],
        PrefixUnaryExpressionSyntax unary when unary.OperatorToken.Kind() is SyntaxKind.MinusToken or SyntaxKind.ExclamationToken => [(unary.OperatorToken, string.Empty)],
        InvocationExpressionSyntax { ArgumentList.Arguments.Count: 2, Expression: MemberAccessExpressionSyntax { Name.Identifier: var name } } => name.Text switch
        {
            "Min" => [(name, "Max")],
            "Max" => [(name, "Min")],
            _ => [],
        },
        _ => [],
    };

    private static IEnumerable<(SyntaxToken Token, string Replacement)> Swapped(SyntaxToken token) =>
        s_tokens.TryGetValue(token.Kind(), out var other) ? [(token, other)] : [];

    private static bool IsText(ExpressionSyntax side) =>
        side is InterpolatedStringExpressionSyntax || side.IsKind(SyntaxKind.StringLiteralExpression);

    private static string Nudged(SyntaxToken number) => number.Value switch
    {
        int whole => (whole + 1).ToString(CultureInfo.InvariantCulture),
        double value => (value == 0.0 ? 0.01 : value * 1.01).ToString("0.0###############################", CultureInfo.InvariantCulture),
        long whole => (whole + 1).ToString(CultureInfo.InvariantCulture) + "L",
        uint whole => (whole + 1).ToString(CultureInfo.InvariantCulture) + "U",
        var other => throw new NotSupportedException($"A number of type {other?.GetType().Name} has no change yet: '{number.Text}'."),
    };
}
