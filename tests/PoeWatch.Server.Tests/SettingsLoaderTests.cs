using PoeWatch.Server.Settings;

namespace PoeWatch.Server.Tests;

public sealed class SettingsLoaderTests : IDisposable
{
    private readonly string _folder = Directory.CreateTempSubdirectory("poewatch-settings-").FullName;

    [Fact]
    public void Without_a_file_the_defaults_hold()
    {
        ServerSettings settings = SettingsLoader.Load(null);

        Assert.Equal(("127.0.0.1", 8460), (settings.Listen.Address, settings.Listen.Port));
        Assert.Equal(TimeSpan.FromSeconds(1), settings.Polling.Timeout);
    }

    [Fact]
    public void A_file_sets_what_it_names_and_leaves_the_rest()
    {
        ServerSettings settings = SettingsLoader.Load(Write("""
            { "listen": { "port": 9000 }, "polling": { "timeout": "00:00:02" }, "credentials": { "read-only": { "community": "c" } } }
            """));

        Assert.Equal((9000, "127.0.0.1"), (settings.Listen.Port, settings.Listen.Address));
        Assert.Equal(TimeSpan.FromSeconds(2), settings.Polling.Timeout);
        Assert.Equal("c", settings.Credentials["read-only"].Community);
    }

    [Theory]
    [InlineData("""{ "listen": { "prot": 1 } }""", "prot")]
    [InlineData("""{ "lisen": {} , "x": 1 }""", "x")]
    [InlineData("""{ "listen": { "port": "many" } }""", "port")]
    [InlineData("""{ "polling": { "timeout": "00:10:00" } }""", "Timeout")]
    [InlineData("""{ "keeper": { "waitingMax": 1 } }""", "WaitingMax")]
    [InlineData("""{ "listen": { """, "not valid JSON")]
    public void A_setting_that_is_unknown_or_out_of_bounds_is_refused_by_name(string json, string named)
    {
        var refused = Assert.Throws<SettingsException>(() => SettingsLoader.Load(Write(json)));

        Assert.Contains(named, refused.Message, StringComparison.OrdinalIgnoreCase);
    }

    [Theory]
    [InlineData("""{ "listen": { "prot": 1 } }""", "'listen' cannot have 'prot'")]
    [InlineData("""{ "dataFoldr": "x" }""", "the settings cannot have 'dataFoldr'")]
    [InlineData("""{ "polling": { "timeout": "5 s" } }""", "'Polling:Timeout' is '5 s'. Write a time as hours:minutes:seconds, such as 00:00:05.")]
    [InlineData("{\n  \"listen\": {,}\n}", "line 2, column 14: ")]
    public void A_refusal_tells_place_value_and_form_in_the_words_of_the_settings(string json, string told)
    {
        var refused = Assert.Throws<SettingsException>(() => SettingsLoader.Load(Write(json)));

        Assert.Contains(told, refused.Message, StringComparison.Ordinal);
        Assert.DoesNotContain("Binder", refused.Message, StringComparison.Ordinal);
        Assert.DoesNotContain("LineNumber", refused.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void A_file_that_is_not_there_is_named()
    {
        var refused = Assert.Throws<SettingsException>(() => SettingsLoader.Load(Path.Combine(_folder, "none.json")));

        Assert.Contains("none.json", refused.Message, StringComparison.Ordinal);
    }

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    private string Write(string json)
    {
        var path = Path.Combine(_folder, "settings.json");
        File.WriteAllText(path, json);
        return path;
    }
}
