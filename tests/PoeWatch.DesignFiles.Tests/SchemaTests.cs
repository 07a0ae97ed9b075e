using System.Globalization;
using System.Text.Json;
using System.Text.Json.Nodes;
using Json.Schema;
using PoeWatch.DesignFiles.Reading;
using PoeWatch.Domain.Demands;
using PoeWatch.Domain.Design.Config;
using YamlDotNet.RepresentationModel;

namespace PoeWatch.DesignFiles.Tests;

/// <summary>The published JSON Schema (draft 2020-12) says the same as the loader: keys, ranges, words; it takes every example and refuses faults.</summary>
public sealed class SchemaTests
{
    private static readonly string s_text = File.ReadAllText(Path.Combine(Examples.ConfigFolder, "design.schema.json"));
    private static readonly JsonSchema s_schema = JsonSchema.FromText(s_text);
    private static readonly JsonNode s_json = JsonNode.Parse(s_text)!;

    public static TheoryData<string> AllDesigns => [.. Directory
        .EnumerateFiles(Examples.ConfigFolder, "*.yaml", SearchOption.AllDirectories)
        .Where(path => File.ReadLines(path).Any(line => line.StartsWith("format: poewatch-design/", StringComparison.Ordinal)))
        .Select(path => Path.GetRelativePath(Examples.ConfigFolder, path))
        .Order(StringComparer.Ordinal)];

    [Theory]
    [MemberData(nameof(AllDesigns))]
    public void Takes_every_design_that_is_shipped(string name)
    {
        var result = s_schema.Evaluate(ToJson(File.ReadAllText(Path.Combine(Examples.ConfigFolder, name))), new EvaluationOptions { OutputFormat = OutputFormat.List });

        Assert.True(result.IsValid, string.Join('\n', result.Details!.Where(d => d.Errors is not null).Select(d => d.InstanceLocation + " " + string.Join(' ', d.Errors!.Values))));
    }

    [Fact]
    public void Knows_exactly_the_keys_that_the_loader_knows()
    {
        foreach (var (section, keys) in DesignKeys.Sections.Where(s => s.Key != DesignKeys.TypeFile))
        {
            var schemaKeys = Properties(section).Select(p => p.Key).Order(StringComparer.Ordinal);
            Assert.Equal(keys.Order(StringComparer.Ordinal), schemaKeys);
        }

        var objects = s_json["$defs"]!.AsObject().Where(d => d.Value!["properties"] is not null).Select(d => d.Key).Append("design");
        Assert.Equal(DesignKeys.Sections.Keys.Where(s => s != DesignKeys.TypeFile).Order(StringComparer.Ordinal), objects.Order(StringComparer.Ordinal));
    }

    [Theory]
    [MemberData(nameof(AllDesigns))]
    public void Loader_and_schema_agree_on_unknown_keys(string name)
    {
        // An unknown key put into the first map of each section must be refused by both.
        var text = File.ReadAllText(Path.Combine(Examples.ConfigFolder, name)) + "\nno-such-key: 1\n";

        Assert.False(s_schema.Evaluate(ToJson(text)).IsValid);
        Assert.Contains(Designs.Check(text), p => p.Code == "unknown-key" && p.Value == "no-such-key");
    }

    [Fact]
    public void Has_the_ranges_and_defaults_of_the_loader()
    {
        var compared = 0;
        foreach (var (section, key) in NumericKeys())
        {
            var property = Properties(section).Single(p => p.Key == key.Name).Value!;
            property = property["items"] ?? property["additionalProperties"] ?? property;
            var place = section + "." + key.Name;
            Assert.Equal((place, key.Min, key.Max), (place, (double)property["minimum"]!, (double)property["maximum"]!));
            Assert.Equal((place, key.Fallback), (place, (double?)property["default"]));
            Assert.Equal((place, key.IsWhole ? "integer" : "number"), (place, (string)property["type"]!));
            compared++;
        }

        Assert.Equal(
            typeof(DesignNumbers).GetProperties().Length + typeof(ConditionNumbers).GetProperties().Length,
            NumericKeys().Select(k => k.Key).Distinct().Count());
        Assert.True(compared >= 38, $"{compared} keys compared");
    }

    [Fact]
    public void Has_the_words_of_the_loader()
    {
        AssertWords("device", DesignChoices.Criticality);
        AssertWords("port", DesignChoices.Criticality);
        AssertWords("group", DesignChoices.Allocation);
        AssertWords("group", DesignChoices.Redundancy);
        AssertWords("uplink", DesignChoices.Medium);
        AssertWords("cable", DesignChoices.Material);
        AssertWords("cable", DesignChoices.GaugeAwg);
        AssertWords("cable", DesignChoices.Pairs);
        AssertWords("device-type", DesignChoices.ExtendedPower);
        foreach (var section in new[] { "cable", "cable-defaults" })
        {
            AssertWords(section, DesignChoices.CordGaugeAwg);
            AssertWords(section, DesignChoices.RatedCelsius);
            AssertWords(section, DesignChoices.SunHeated);
            AssertWords(section, DesignChoices.Screened);
        }
        AssertWords("draw-column", DesignChoices.DrawUnit);
        AssertWords("draw-column", DesignChoices.DrawIndex);
        Assert.Equal(DesignChoices.Condition.Words, Words(Property("load-case", "conditions")["items"]!["enum"]));
        Assert.Equal(DesignChoices.Condition.Words, Words(Property("load-case", "coincidence")["propertyNames"]!["enum"]));
        Assert.Equal(DesignChoices.TypeCondition.Words, Words(Property("device-type", "adds-w")["propertyNames"]!["enum"]));
        Assert.Equal(DesignChoices.TypeCondition.Words, Words(Property("device-type", "takes-w")["propertyNames"]!["enum"]));
        Assert.Equal(
            StandardLoadCases.All.Select(c => c.Id).Append(StandardLoadCases.AllWord),
            Words(Property("design", "standard-load-cases")["items"]!["enum"]));
    }

    [Theory]
    [MemberData(nameof(Faults.OfShape), MemberType = typeof(Faults))]
    public void Refuses_what_the_loader_refuses_for_its_shape(string fault, string find, string replacement)
    {
        var text = Faults.Apply(find, replacement);

        Assert.True(s_schema.Evaluate(ToJson(Faults.Whole)).IsValid);
        Assert.False(s_schema.Evaluate(ToJson(text)).IsValid, fault);
        Assert.Contains(Designs.Check(text), p => p.Kind == Domain.Design.ProblemKind.Error);
    }

    private static void AssertWords<T>(string section, ChoiceKey<T> key)
    {
        var property = Properties(section).Single(p => p.Key == key.Name).Value!;
        Assert.Equal(key.Words, property["enum"]!.AsArray().Select(word => word!.ToString()));
        Assert.Equal(key.HasFallback ? key.Choices[0].Word : null, property["default"]?.ToString());
    }

    private static IEnumerable<string> Words(JsonNode? list) => list!.AsArray().Select(word => word!.ToString());

    private static JsonNode Property(string section, string key) => Properties(section)[key]!;

    private static JsonObject Properties(string section) =>
        (section == "design" ? s_json : s_json["$defs"]![section]!)["properties"]!.AsObject();

    private static IEnumerable<(string Section, NumberKey Key)> NumericKeys() =>
    [
        ("coordinates", DesignNumbers.Latitude), ("coordinates", DesignNumbers.Longitude),
        ("group", DesignNumbers.Group), ("group", DesignNumbers.PortCount), ("group", DesignNumbers.Budget), ("group", DesignNumbers.GuardBand),
        ("group", DesignNumbers.GroupOwnDraw), ("group", DesignNumbers.SupplyEfficiency),
        ("group", DesignNumbers.StartsAtOnce), ("group", DesignNumbers.StartInterval),
        ("supply", DesignNumbers.SupplyRating),
        ("ups-unit", DesignNumbers.UpsEnergy), ("ups-unit", DesignNumbers.InverterEfficiency), ("ups-unit", DesignNumbers.BatteryHealth),
        ("ups-unit", DesignNumbers.UpsOtherLoad), ("ups-unit", DesignNumbers.WantedRuntime),
        ("port", DesignNumbers.PortLimit), ("port", DesignNumbers.PoeClass), ("port", DesignNumbers.PoeType), ("port", DesignNumbers.Vlan), ("upgrade", DesignNumbers.PortLimit),
        ("injector", DesignNumbers.InjectorRating), ("injector", DesignNumbers.InjectorVolts), ("injector", DesignNumbers.PoeType),
        ("injector", DesignNumbers.DataSideLength),
        ("extender", DesignNumbers.InputLimit), ("extender", DesignNumbers.ExtenderOwnDraw), ("extender", DesignNumbers.ExtenderOutputs),
        ("extender", DesignNumbers.OutputLimit),
        ("pass-through-switch", DesignNumbers.InputLimit), ("pass-through-switch", DesignNumbers.PassThroughOwnDraw),
        ("pass-through-switch", DesignNumbers.Efficiency), ("pass-through-switch", DesignNumbers.PassThroughVolts),
        ("pass-through-switch", DesignNumbers.PassThroughOutputs), ("pass-through-switch", DesignNumbers.OutputLimit),
        ("pass-through-switch", DesignNumbers.TotalLimit),
        ("cable", DesignNumbers.CableLength), ("cable", DesignNumbers.MeasuredLoop), ("cable", DesignNumbers.MeasuredAtCelsius),
        .. OfCables("cable"), .. OfCables("cable-defaults"),
        ("uplink", DesignNumbers.UplinkLength),
        ("device-type", DesignNumbers.PoeClass), ("device-type", DesignNumbers.Demand), ("device-type", DesignNumbers.LoadCaseDemand),
        ("device-type", DesignNumbers.IdleDemand), ("device-type", DesignNumbers.TypicalDemand), ("device-type", DesignNumbers.PeakDemand),
        ("device-type", DesignNumbers.AddedDemand), ("device-type", DesignNumbers.TakenDemand), ("device-type", DesignNumbers.HeaterStartsCelsius),
        ("device-type", DesignNumbers.BootPeak), ("device-type", DesignNumbers.BootSeconds),
        ("load-case", DesignNumbers.LoadCaseAmbient), ("load-case", DesignNumbers.Coincidence),
        ("load-case", DesignNumbers.Month),
        ("conditions", ConditionNumbers.DarkBelow), ("conditions", ConditionNumbers.ColdBelow), ("climate", ConditionNumbers.Coldest),
        ("climate", ConditionNumbers.Warmest), ("thermometer", ConditionNumbers.PhysicalIndex),
        ("headroom-levels", DesignNumbers.EarlyWatts), ("headroom-levels", DesignNumbers.EarlyPercent),
        ("headroom-levels", DesignNumbers.LateWatts), ("headroom-levels", DesignNumbers.LatePercent),
    ];

    private static (string Section, NumberKey Key)[] OfCables(string section) =>
    [
        (section, DesignNumbers.ConductorCelsius), (section, DesignNumbers.AmbientCelsius), (section, DesignNumbers.CordLength), (section, DesignNumbers.CordLoop),
        (section, DesignNumbers.CordCelsius), (section, DesignNumbers.Contacts), (section, DesignNumbers.ContactOhms), (section, DesignNumbers.BundledCables),
        (section, DesignNumbers.PairUnbalance), (section, DesignNumbers.PairsetLimit),
    ];

    // As an editor with a YAML plug-in sees it: YAML 1.2 core types for plain scalars, text for quoted ones.
    private static JsonElement ToJson(string yaml)
    {
        var stream = new YamlStream();
        stream.Load(new StringReader(yaml));
        return ToJson(stream.Documents[0].RootNode).Deserialize<JsonElement>();
    }

    private static JsonNode? ToJson(YamlNode node) => node switch
    {
        YamlMappingNode map => new JsonObject(map.Children.Select(c => KeyValuePair.Create(((YamlScalarNode)c.Key).Value!, ToJson(c.Value)))),
        YamlSequenceNode list => new JsonArray([.. list.Children.Select(ToJson)]),
        YamlScalarNode { Style: YamlDotNet.Core.ScalarStyle.Plain } plain => Plain(plain.Value!),
        YamlScalarNode quoted => JsonValue.Create(quoted.Value),
        _ => throw new ArgumentOutOfRangeException(nameof(node), node.NodeType, "Not a node of a design."),
    };

    private static JsonValue? Plain(string text)
    {
        if (long.TryParse(text, NumberStyles.AllowLeadingSign, CultureInfo.InvariantCulture, out var whole))
        {
            return JsonValue.Create(whole);
        }

        return double.TryParse(text, NumberStyles.Float, CultureInfo.InvariantCulture, out var number)
            ? JsonValue.Create(number)
            : JsonValue.Create(text);
    }
}
