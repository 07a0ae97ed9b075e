using System.Text.Json;
using System.Text.RegularExpressions;
using Microsoft.AspNetCore.Routing;
using Microsoft.Extensions.DependencyInjection;
using PoeWatch.Api.Tests.Fakes;

namespace PoeWatch.Api.Tests;

/// <summary>The contract as a whole, read from the OpenAPI document that callers get.</summary>
public sealed partial class ContractTests
{
    /// <summary>Units that a numeric property may end in, and what is a count, a number of something or a place in a text and needs none.</summary>
    [GeneratedRegex("(W|Wh|Mw|V|A|M|Ohm|Mbps|Seconds|Percent|Degrees|Celsius|Awg|Count|Number|Version|Line|Column)$|^(line|column|udpPort|status)$")]
    private static partial Regex Unit();

    [Fact]
    public async Task Every_numeric_property_carries_its_unit()
    {
        await using var api = await ApiHarness.StartAsync();
        var numeric = Schemas(await api.GetAsync("/openapi/v1.json"))
            .SelectMany(schema => Properties(schema.Value).Where(p => IsNumeric(p.Value)).Select(p => (Schema: schema.Name, Property: p.Name)))
            .ToList();
        Assert.Contains(("DrawContract", "drawAtPseW"), numeric);

        // The unit of these stands beside them in 'unit', since a limit may be watts, volts, amperes, metres or a class; a deadband has the unit of its type.
        (string Schema, string Property)[] withUnitBeside =
        [
            ("LimitContract", "limitValue"), ("LimitContract", "value"), ("LimitContract", "margin"), ("ReportLimit", "limitValue"), ("ReportLimit", "value"),
            ("ReportLimit", "margin"), ("AlarmMeasureContract", "value"), ("AlarmTypeContract", "deadband"),
        ];
        Assert.DoesNotContain(numeric, p => !Unit().IsMatch(p.Property) && !withUnitBeside.Contains(p));
    }

    [Fact]
    public async Task Whatever_holds_a_live_draw_holds_its_provenance()
    {
        await using var api = await ApiHarness.StartAsync();
        foreach (var schema in Schemas(await api.GetAsync("/openapi/v1.json")))
        {
            var names = Properties(schema.Value).Select(p => p.Name).ToHashSet(StringComparer.Ordinal);
            if (names.Any(n => n is "drawAtPseW" or "ceilingAtPseW" or "meanW" or "ceilingW" or "designDemandByLoadCaseW"))
            {
                Assert.True(names.Contains("provenance"), $"{schema.Name} gives watts without provenance.");
            }
        }
    }

    [Fact]
    public async Task Document_lists_every_route_of_the_api_with_a_summary_and_says_what_each_parameter_means()
    {
        await using var api = await ApiHarness.StartAsync();
        var document = await api.GetAsync("/openapi/v1.json");
        Assert.StartsWith("3.1", document.GetProperty("openapi").GetString(), StringComparison.Ordinal);
        var routes = api.Services.GetRequiredService<EndpointDataSource>().Endpoints.OfType<RouteEndpoint>()
            .Select(e => ParameterConstraint().Replace(e.RoutePattern.RawText ?? "", "}"))
            .Where(p => p.StartsWith("/api/", StringComparison.Ordinal)).Distinct().Order().ToList();
        var listed = document.GetProperty("paths").EnumerateObject().ToList();
        Assert.True(routes.Count >= 24, $"{routes.Count} routes");
        Assert.Equal(routes, listed.Select(p => p.Name).Order());
        foreach (var operation in listed.SelectMany(p => p.Value.EnumerateObject()).Where(o => o.Name is "get" or "post" or "put" or "delete"))
        {
            Assert.False(string.IsNullOrWhiteSpace(operation.Value.GetProperty("summary").GetString()));
            Assert.True(operation.Value.GetProperty("responses").EnumerateObject().Any());
            var parameters = operation.Value.TryGetProperty("parameters", out var some) ? some.EnumerateArray().ToList() : [];
            Assert.All(parameters, p => Assert.True(p.TryGetProperty("description", out var words) && words.GetString() is { Length: > 0 }, p.GetProperty("name").GetString()));
        }
    }

    [Fact]
    public async Task Document_describes_times_as_date_time()
    {
        await using var api = await ApiHarness.StartAsync();
        var document = await api.GetAsync("/openapi/v1.json");
        var series = Schemas(document).Single(s => s.Name == "SeriesContract").Value.GetProperty("properties");
        Assert.Equal("date-time", series.GetProperty("from").GetProperty("format").GetString());
        var parameters = document.GetProperty("paths").GetProperty("/api/v1/poles/{pole}/history").GetProperty("get").GetProperty("parameters");
        var from = parameters.EnumerateArray().Single(p => p.GetProperty("name").GetString() == "from");
        Assert.Contains("date-time", from.GetRawText(), StringComparison.Ordinal);
    }

    /// <summary>Words of the glossary that are refused in the API; the HTTP header Host is no property.</summary>
    [Fact]
    public async Task No_refused_word_stands_in_the_contract()
    {
        await using var api = await ApiHarness.StartAsync();
        var document = await api.GetAsync("/openapi/v1.json");
        var names = Schemas(document).SelectMany(s => Properties(s.Value).Select(p => p.Name).Append(s.Name))
            .Concat(document.GetProperty("paths").EnumerateObject().Select(p => p.Name));
        Assert.DoesNotContain(names, n => RefusedWord().IsMatch(n));
    }

    [GeneratedRegex("usage|consumption|probe|sensor|host|node|(?<!up)link|stale|blind", RegexOptions.IgnoreCase)]
    private static partial Regex RefusedWord();

    [GeneratedRegex(":[a-z]+}")]
    private static partial Regex ParameterConstraint();

    private static IEnumerable<JsonProperty> Schemas(JsonElement document) =>
        document.GetProperty("components").GetProperty("schemas").EnumerateObject().Where(s => s.Name != "ProblemDetails");

    private static IEnumerable<JsonProperty> Properties(JsonElement schema) =>
        schema.TryGetProperty("properties", out var properties) ? properties.EnumerateObject() : [];

    private static bool IsNumeric(JsonElement property) =>
        property.TryGetProperty("type", out var type) && (type.GetRawText().Contains("number", StringComparison.Ordinal) || type.GetRawText().Contains("integer", StringComparison.Ordinal));
}
