using System.ComponentModel.DataAnnotations;
using System.Reflection;
using System.Text.Json;
using System.Text.RegularExpressions;
using System.Xml.Linq;
using PoeWatch.House.Tests.Documents;
using PoeWatch.House.Tests.Support;
using PoeWatch.Server.Settings;

namespace PoeWatch.House.Tests.Settings;

/// <summary>Sample, documentation, attributes and defaults of the settings say the same.</summary>
public sealed partial class SettingsTests
{
    private const string Sample = "config/poewatch.sample.json";
    private const string Guide = "docs/settings.md";

    private static string SampleFile => Path.Combine(Repository.Root, Sample);

    [Theory]
    [InlineData(Sample)]
    [InlineData("deploy/settings.json")]
    public void Settings_files_of_the_repository_are_read_without_complaint(string path) =>
        Assert.NotEmpty(SettingsLoader.Load(Path.Combine(Repository.Root, path)).Credentials);

    [Fact]
    public void The_sample_shows_every_setting_and_no_other()
    {
        using var sample = JsonDocument.Parse(Repository.Read(Sample));

        Assert.Equal(SettingTree.All.Select(setting => setting.Path).Order(), SettingTree.PathsOf(sample.RootElement).Order());
    }

    [Fact]
    public void The_sample_shows_the_defaults()
    {
        ServerSettings sample = SettingsLoader.Load(SampleFile);

        Rule.HoldsFor(
            from setting in SettingTree.All
            where setting.Path != "credentials"
            let shown = SettingTree.ValueOf(setting, sample)
            where JsonSerializer.Serialize(shown) != JsonSerializer.Serialize(setting.Default)
            select $"{setting.Path}: the sample has {shown}, the code {setting.Default}",
            $"Correct {Sample}.");
    }

    [Fact]
    public void The_guide_names_every_setting()
    {
        var named = Name().Matches(string.Join('\n', MarkdownFile.Load(Guide).TableRows.Select(row => row.Row))).Select(match => match.Groups["name"].Value).ToHashSet();

        Rule.HoldsFor(
            SettingTree.All.Select(setting => setting.Path == "credentials" ? "credentials.NAME" : setting.Path).Where(path => !named.Contains(path)),
            $"Add a row to the table in {Guide}.");
    }

    [Fact]
    public void Bounds_in_attributes_summaries_and_guide_are_the_same() => Rule.HoldsFor(
        from setting in SettingTree.All
        let range = setting.Property.GetCustomAttribute<RangeAttribute>()
        where range is not null
        let real = new Bounds(Bounds.Of(range.Minimum), Bounds.Of(range.Maximum))
        from said in new[] { (Where: "its summary", Bounds: Bounds.ReadFrom(ValueText(setting))), (Where: Guide, Bounds: Bounds.ReadFrom(GuideRow(setting)[2])) }
        where said.Bounds != real
        select $"{setting.Path}: {said.Where} says {said.Bounds}, the attribute {real}",
        "Correct whichever is wrong.");

    [Fact]
    public void Defaults_in_summaries_and_guide_are_those_of_the_code() => Rule.HoldsFor(
        from setting in SettingTree.All
        where setting.Default is int or TimeSpan && setting.Property.GetCustomAttribute<RangeAttribute>() is not null
        let real = Bounds.Of(setting.Default!)
        from said in new[] { (Where: "its summary", Number: Bounds.FirstNumber(ValueText(setting).Split(';')[1])), (Where: Guide, Number: Bounds.FirstNumber(GuideRow(setting)[3])) }
        where said.Number != real
        select $"{setting.Path}: {said.Where} says {said.Number}, the code {real}",
        "Correct whichever is wrong.");

    private static string[] GuideRow(Setting setting) =>
        MarkdownFile.Load(Guide).TableRows.FirstOrDefault(row => row.Key == setting.Path).Row?.Split('|') ?? ["", "", "", ""];

    private static string ValueText(Setting setting)
    {
        Type owner = setting.Property.DeclaringType!;
        var docs = XDocument.Load(Path.ChangeExtension(owner.Assembly.Location, ".xml"));
        XElement? member = docs.Descendants("member").FirstOrDefault(element => element.Attribute("name")!.Value == $"P:{owner.FullName}.{setting.Property.Name}");
        return member?.Element("value")?.Value ?? ";";
    }

    [GeneratedRegex("`(?<name>[A-Za-z.]+)`")]
    private static partial Regex Name();
}
