using Microsoft.CodeAnalysis.CSharp.Syntax;
using PoeWatch.House.Tests.Support;

namespace PoeWatch.House.Tests.Documents;

/// <summary>docs/metrics.md lists exactly the instruments that the code makes.</summary>
public sealed class MetricTests
{
    private const string List = "docs/metrics.md";

    private static List<(string? Name, string At, int Arguments)> Instruments =>
    [
        .. from file in Repository.Sources("src")
           from call in file.Tree.DescendantNodes().OfType<InvocationExpressionSyntax>()
           where call.Expression is MemberAccessExpressionSyntax access && IsFactory(access.Name.Identifier.Text)
           let name = call.ArgumentList.Arguments.FirstOrDefault()?.Expression as LiteralExpressionSyntax
           select (name?.Token.ValueText, file.At(call), call.ArgumentList.Arguments.Count),
    ];

    [Fact]
    public void Every_instrument_has_a_literal_name_a_unit_and_a_description() => Rule.HoldsFor(
        from instrument in Instruments
        where instrument.Name is null || !instrument.Name.StartsWith("poewatch.", StringComparison.Ordinal) || instrument.Arguments < 3
        select $"{instrument.At} {instrument.Name}",
        "meter.Create…(\"poewatch.area.thing\", unit: \"{poll}\", description: \"…\"): a person searches for the name as it is scraped.");

    [Fact]
    public void The_list_of_metrics_and_the_code_agree()
    {
        string[] listed = Repository.Exists(List)
            ? [.. MarkdownFile.Load(List).TableRows.Select(row => row.Key).Where(name => name.StartsWith("poewatch.", StringComparison.Ordinal)).Order()]
            : [];

        Assert.Equal(Instruments.Select(instrument => instrument.Name).Distinct().Order(), listed);
    }

    private static bool IsFactory(string method) => method
        is "CreateCounter" or "CreateUpDownCounter" or "CreateHistogram" or "CreateGauge"
        or "CreateObservableCounter" or "CreateObservableUpDownCounter" or "CreateObservableGauge";
}
