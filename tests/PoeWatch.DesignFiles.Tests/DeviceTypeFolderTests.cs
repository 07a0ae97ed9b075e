using System.Globalization;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.PowerFlow;

namespace PoeWatch.DesignFiles.Tests;

/// <summary>The shipped device types, and designs that name types without describing them.</summary>
public sealed class DeviceTypeFolderTests
{
    private const string Design = """
        format: poewatch-design/1
        standard-load-cases: [all]
        devices: [{id: cam, type: ptz-camera-heated}]
        extenders: [{id: ext, kind: extender-2-out, own-draw-w: 3, output-limit-w: 60}]
        switches: [{id: quay, address: 192.0.2.10, groups: [{budget-w: 200}], ports: [{port: 1, limit-w: 90}]}]
        cables: [{from: quay:1, to: ext, length-m: 10}, {from: ext:1, to: cam, length-m: 5}]
        """;

    private static readonly DeviceTypeFolder s_shipped = new(Path.Combine(Examples.ConfigFolder, "device-types"));

    public static TheoryData<string> Devices =>
    [
        "fixed-camera", "multi-sensor-camera", "ptz-camera", "ptz-camera-heated", "column-speaker", "horn-speaker", "access-point-wifi-6",
        "access-point-wifi-6e", "emergency-call-point", "luminaire", "luminaire-large", "sensor-node",
    ];

    public static TheoryData<string, string> Elements => new()
    {
        { "extenders", "extender-2-out" }, { "extenders", "extender-2-out-60w" },
        { "pass-through-switches", "pass-through-8-boosted" }, { "pass-through-switches", "pass-through-4-plain" },
        { "injectors", "injector-30w" }, { "injectors", "injector-60w" }, { "injectors", "injector-90w" },
    };

    [Fact]
    public void Exactly_the_listed_types_are_shipped() => Assert.Equal(
        Devices.Select(row => row.Data).Concat(Elements.Select(row => row.Data.Item2)).Order(StringComparer.Ordinal), s_shipped.Ids);

    [Fact]
    public void The_folder_stands_beside_every_program_that_reads_designs() => Assert.Equal(s_shipped.Ids, new DeviceTypeFolder().Ids);

    [Theory]
    [MemberData(nameof(Devices))]
    public void Every_device_can_be_named_and_stays_below_its_class(string id)
    {
        var result = Load(With("devices", $"[{{id: cam, type: {id}}}]").Replace("\nextenders: [{id: ext, kind: extender-2-out, own-draw-w: 3, output-limit-w: 60}]", "", StringComparison.Ordinal)
            .Replace("[{from: quay:1, to: ext, length-m: 10}, {from: ext:1, to: cam, length-m: 5}]", "[{from: quay:1, to: cam, length-m: 10}]", StringComparison.Ordinal)).Result;
        Assert.True(result.Model is not null, DesignProblemText.Format(id, result));
        var type = result.Model.DeviceTypes[id];

        // PD maximum input by class: Ethernet Alliance, overview of IEEE 802.3bt (2018); 12.95 W of class 3 by TI TPS2379, Table 2.
        double[] most = [12.95, 3.84, 6.49, 12.95, 25.5, 40, 51, 62, 71.3];
        Assert.True(type.Physical!.Peak.Watts <= most[(int)type.RequestedClass], $"{type.Physical.Peak} of class {type.RequestedClass}");
        Assert.True(type.Physical.Idle <= type.Physical.Typical && type.Physical.Typical <= type.Physical.Peak);
        Assert.All(result.Model.LoadCases, c => Assert.True(DesignDemands.Of(type, c) <= type.Physical.Peak));
        Assert.NotEmpty(type.Source);
        Assert.True(type.Physical.Takes.ContainsKey(LoadCondition.ColdStart) && type.Physical.BootLasts > TimeSpan.Zero);
        Assert.EndsWith(id + ".yaml", type.WrittenIn, StringComparison.Ordinal);
    }

    [Theory]
    [MemberData(nameof(Elements))]
    public void Every_element_can_be_named_as_a_kind(string section, string id)
    {
        var text = With(section, $"[{{id: one, kind: {id}}}]\ncables-csv: cables.csv");
        var result = DesignFile.Parse(text, "site.yaml", _ => new FoundText("from,to,length-m\n", ""), s_shipped).Result;

        Assert.DoesNotContain(result.Problems, p => p.Code is "unknown-kind" or "missing" or "out-of-range" or "wrong-type" or "unknown-key");
    }

    [Fact]
    public void What_is_written_at_an_element_goes_before_its_kind()
    {
        var model = Load(Design).Result.Model!;

        Assert.Equal((3.0, 2, 60.0, 71.3), (
            model.Extenders["ext"].OwnDraw.Watts, model.Extenders["ext"].OutputCount, model.Extenders["ext"].OutputLimit.Watts, model.Extenders["ext"].InputLimit.Watts));
    }

    [Fact]
    public void Own_type_of_the_design_goes_before_the_folder()
    {
        var loaded = Load(Design + "\ndevice-types: [{id: ptz-camera-heated, class: 4, demand-w: 7}]");

        Assert.Equal((7.0, "site.yaml"), (loaded.Result.Model!.DeviceTypes["ptz-camera-heated"].Demand.Watts, loaded.Result.Model.DeviceTypes["ptz-camera-heated"].WrittenIn));
        Assert.DoesNotContain("ptz-camera-heated.yaml", loaded.JoinedText, StringComparison.Ordinal);
    }

    [Fact]
    public void Hash_covers_what_was_taken_and_nothing_else()
    {
        using var folder = new TemporaryFolder();
        File.Copy(Path.Combine(Examples.ConfigFolder, "device-types", "ptz-camera-heated.yaml"), folder.Of("ptz-camera-heated.yaml"));
        File.Copy(Path.Combine(Examples.ConfigFolder, "device-types", "extender-2-out.yaml"), folder.Of("extender-2-out.yaml"));
        var before = Load(Design, folder.Types);

        File.WriteAllText(folder.Of("unused.yaml"), "format: poewatch-device-type/1\n");
        Assert.Equal(before.Hash, Load(Design, folder.Types).Hash);

        File.WriteAllText(folder.Of("ptz-camera-heated.yaml"), File.ReadAllText(folder.Of("ptz-camera-heated.yaml")).Replace("typical-w: 20", "typical-w: 21", StringComparison.Ordinal));
        var after = Load(Design, folder.Types);

        Assert.NotEqual(before.Hash, after.Hash);
        Assert.Equal(21, after.Result.Model!.DeviceTypes["ptz-camera-heated"].Demand.Watts);

        // The text that was accepted still means what it meant.
        var kept = DesignFile.ParseJoined(before.JoinedText, "kept", folder.Types);
        Assert.Equal((before.Hash, 20.0), (kept.Hash, kept.Result.Model!.DeviceTypes["ptz-camera-heated"].Demand.Watts));
    }

    [Theory]
    [InlineData("type: ptz-camera-heated", "type: ptz-camera-heeted", "unknown-device-type", "'ptz-camera-heated'")]
    [InlineData("kind: extender-2-out", "kind: extender-2-uot", "unknown-kind", "'extender-2-out'")]
    [InlineData("kind: extender-2-out", "kind: injector-30w", "unknown-kind", "")]
    [InlineData("type: ptz-camera-heated", "type: ../design.schema", "unknown-device-type", "")]
    public void What_the_folder_does_not_have_is_told_with_what_may_be_meant(string find, string replacement, string code, string hint)
    {
        var problems = Load(Design.Replace(find, replacement, StringComparison.Ordinal)).Result.Problems;

        Assert.Contains(problems, p => p.Code == code && p.At.File == "site.yaml" && p.Remedy.Contains(hint, StringComparison.Ordinal));
    }

    [Theory]
    [InlineData("format: poewatch-device-type/1", "format: poewatch-device-type/9", "unknown-format")]
    [InlineData("id: ptz-camera-heated", "id: another", "unknown-device-type")]
    [InlineData("typical-w: 20", "typical: 20", "unknown-key")]
    [InlineData("peak-w: 48", "peak-w: 90", "demand-above-class")]
    public void Faults_in_a_file_of_the_folder_are_told_at_their_line_in_that_file(string find, string replacement, string code)
    {
        using var folder = new TemporaryFolder();
        File.Copy(Path.Combine(Examples.ConfigFolder, "device-types", "extender-2-out.yaml"), folder.Of("extender-2-out.yaml"));
        var text = File.ReadAllText(Path.Combine(Examples.ConfigFolder, "device-types", "ptz-camera-heated.yaml"));
        File.WriteAllText(folder.Of("ptz-camera-heated.yaml"), text.Replace(find, replacement, StringComparison.Ordinal));
        var line = text[..text.IndexOf(find, StringComparison.Ordinal)].Count(c => c == '\n') + 1;

        var problems = Load(Design, folder.Types).Result.Problems;

        Assert.Contains(problems, p => p.Code == code && p.At.Line == line && p.At.File.EndsWith("ptz-camera-heated.yaml", StringComparison.Ordinal));
    }

    private static LoadedDesign Load(string text, DeviceTypeFolder? types = null) =>
        DesignFile.Parse(text, "site.yaml", _ => new FoundText(null, "no such file"), types ?? s_shipped);

    private static string With(string section, string value) => string.Join(
        '\n', Design.Split('\n').Where(line => !line.StartsWith(section + ":", StringComparison.Ordinal)).Append(string.Create(CultureInfo.InvariantCulture, $"{section}: {value}")));

    private sealed class TemporaryFolder : IDisposable
    {
        private readonly string _path = Directory.CreateTempSubdirectory("poewatch-types-").FullName;

        public DeviceTypeFolder Types => new(_path);

        public string Of(string file) => Path.Combine(_path, file);

        public void Dispose() => Directory.Delete(_path, recursive: true);
    }
}
