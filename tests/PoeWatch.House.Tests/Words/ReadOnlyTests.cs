using System.Globalization;
using Microsoft.CodeAnalysis;
using Microsoft.CodeAnalysis.CSharp;
using Microsoft.CodeAnalysis.CSharp.Syntax;
using PoeWatch.House.Tests.Support;

namespace PoeWatch.House.Tests.Words;

/// <summary>PoeWatch never writes to a switch: the tag of a SetRequest (RFC 3416 section 3: [3] IMPLICIT, 0xA3 in BER) stands nowhere in product code.</summary>
public sealed class ReadOnlyTests
{
    private const int SetRequestTag = 0xA0 + 3;

    [Fact]
    public void No_number_in_product_code_is_the_tag_of_a_set_request() => Rule.HoldsFor(
        from file in Repository.Sources("src/PoeWatch.Snmp", "src/PoeWatch.Monitoring", "src/PoeWatch.Server", "src/PoeWatch.Api")
        from number in file.Tree.DescendantNodes().OfType<LiteralExpressionSyntax>()
        where number.IsKind(SyntaxKind.NumericLiteralExpression)
        where number.Token.Value is IConvertible value && value.ToDouble(CultureInfo.InvariantCulture) == SetRequestTag
        select $"{file.At(number)} {number}",
        "There is no SNMP SET in this house.");

    [Fact]
    public void No_constant_of_the_SNMP_room_is_the_tag_of_a_set_request() => Rule.HoldsFor(
        from type in Room.All.Single(room => room.Project == "PoeWatch.Snmp").WrittenTypes
        from field in type.GetFields(System.Reflection.BindingFlags.Public | System.Reflection.BindingFlags.NonPublic | System.Reflection.BindingFlags.Static)
        where field.IsLiteral && field.GetRawConstantValue() is byte or int or uint or ushort or short
        where Convert.ToInt64(field.GetRawConstantValue(), CultureInfo.InvariantCulture) == SetRequestTag
        select $"{type.FullName}.{field.Name}",
        "There is no SNMP SET in this house.");

    [Fact]
    public void Nothing_in_the_SNMP_room_is_named_as_if_it_set_something_on_an_agent() => Rule.HoldsFor(
        from file in Repository.Sources("src/PoeWatch.Snmp")
        from name in file.Tree.DescendantNodes().Select(node => node switch
        {
            MethodDeclarationSyntax method => method.Identifier,
            BaseTypeDeclarationSyntax type => type.Identifier,
            EnumMemberDeclarationSyntax member => member.Identifier,
            _ => default,
        })
        where name.Text == "Set" || (name.Text.StartsWith("Set", StringComparison.Ordinal) && name.Text.Length > 3 && char.IsUpper(name.Text[3]))
        select $"{file.At(name)} {name.Text}",
        "There is no SNMP SET in this house; name a local change otherwise (With…, Use…).");
}
