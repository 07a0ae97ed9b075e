using System.Text.Json.Nodes;
using PoeWatch.DesignFiles.Reading;

namespace PoeWatch.DesignFiles.Tests;

/// <summary>The schema of a device type file says the same as that of the design and as the loader.</summary>
public sealed class DeviceTypeSchemaTests
{
    private static readonly JsonObject s_file = Read("device-type.schema.json");

    [Fact]
    public void Has_the_keys_of_the_loader() => Assert.Equal(
        DesignKeys.Sections[DesignKeys.TypeFile].Order(StringComparer.Ordinal), s_file["properties"]!.AsObject().Select(p => p.Key).Order(StringComparer.Ordinal));

    [Fact]
    public void Describes_each_part_as_the_design_does()
    {
        var design = Read("design.schema.json")["$defs"]!.AsObject();

        Assert.All(s_file["$defs"]!.AsObject(), part => Assert.True(JsonNode.DeepEquals(part.Value, design[part.Key]), part.Key));
    }

    private static JsonObject Read(string name) => JsonNode.Parse(File.ReadAllText(Path.Combine(Examples.ConfigFolder, name)))!.AsObject();
}
