using System.Reflection;
using System.Text.RegularExpressions;
using Microsoft.CodeAnalysis.CSharp.Syntax;
using PoeWatch.House.Tests.Support;

namespace PoeWatch.House.Tests.Words;

/// <summary>One word per thing, in code, API and screens.</summary>
public sealed partial class GlossaryTests
{
    private const BindingFlags Declared = BindingFlags.Public | BindingFlags.Instance | BindingFlags.Static | BindingFlags.DeclaredOnly;

    [Theory]
    [InlineData("PortUsage", "Usage")]
    [InlineData("hostName", "host")]
    [InlineData("MaxProbesInFlight", "Probes")]
    [InlineData("SNMPNode", "Node")]
    [InlineData("Run", "Run")]
    public void A_refused_word_is_found_in_a_name(string name, string word) =>
        Assert.Contains(word, Glossary.Fault(name)!, StringComparison.Ordinal);

    [Theory]
    [InlineData("CableRun")]
    [InlineData("PoeClass")]
    [InlineData("Ghosted")]
    [InlineData("Linked")]
    public void A_lawful_name_is_let_through(string name) => Assert.Null(Glossary.Fault(name));

    [Fact]
    public void Public_names_keep_to_the_glossary() => Rule.HoldsFor(
        from room in Room.All
        from type in room.WrittenTypes
        where type.IsVisible
        from breach in NamesOf(type)
        select breach,
        Glossary.Exemptions,
        "See 'Words' in docs/architecture.md.");

    [Fact]
    public void Routes_of_the_API_keep_to_the_glossary() => Rule.HoldsFor(
        from file in Repository.Sources("src")
        from call in file.Tree.DescendantNodes().OfType<InvocationExpressionSyntax>()
        where call.Expression is MemberAccessExpressionSyntax { Name.Identifier.Text: "MapGet" or "MapPost" or "MapPut" or "MapPatch" or "MapDelete" or "MapGroup" }
        from route in call.ArgumentList.Arguments.Select(argument => argument.Expression).OfType<LiteralExpressionSyntax>()
        let fault = Glossary.Fault(route.Token.ValueText, isNoun: false)
        where fault is not null
        select $"{file.At(route)} {fault}",
        "See 'Words' in docs/architecture.md.");

    [Fact]
    public void Names_written_into_JSON_keep_to_the_glossary() => Rule.HoldsFor(
        from file in Repository.Sources("src")
        from attribute in file.Tree.DescendantNodes().OfType<AttributeSyntax>()
        where attribute.Name.ToString() is "JsonPropertyName" or "JsonStringEnumMemberName"
        from name in attribute.DescendantNodes().OfType<LiteralExpressionSyntax>()
        let fault = Glossary.Fault(name.Token.ValueText)
        where fault is not null
        select $"{file.At(name)} {fault}",
        "See 'Words' in docs/architecture.md.");

    [Fact]
    public void Screens_keep_to_the_glossary() => Rule.HoldsFor(
        from path in Repository.AllFiles
        where path.StartsWith("src/PoeWatch.Api/Dashboard/", StringComparison.Ordinal)
        where path.EndsWith(".ts", StringComparison.Ordinal) || path.EndsWith("index.html", StringComparison.Ordinal)
        from word in ScreenWord().Matches(Repository.Read(path))
        select $"{path}: {word.Value}",
        "See 'Words' in docs/architecture.md.");

    private static IEnumerable<(string Key, string Text)> NamesOf(Type type)
    {
        var typeName = type.Name.Split('`')[0];
        if (Glossary.Fault(typeName) is { } typeFault)
        {
            yield return (typeName, $"{type.FullName}: {typeFault}");
        }

        foreach (MemberInfo member in type.GetMembers(Declared))
        {
            var isAccessor = member is MethodBase { IsSpecialName: true } or Type;
            if (!isAccessor && Glossary.Fault(member.Name, isNoun: member is not MethodBase) is { } fault)
            {
                yield return ($"{typeName}.{member.Name}", $"{type.FullName}: {fault}");
            }
        }
    }

    // Names such as location.host and Node belong to the browser, so only words that a person would read are looked for.
    [GeneratedRegex(@"\b(usage|consumption|probes?|sensors?|stale|blind)\b", RegexOptions.IgnoreCase)]
    private static partial Regex ScreenWord();
}
