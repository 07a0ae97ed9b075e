using PoeWatch.Server.Commands;
using PoeWatch.Server.Settings;

namespace PoeWatch.Server.Tests;

/// <summary>Lists of switches for a draft, as people write them.</summary>
public sealed class DraftListTests
{
    [Fact]
    public void Addresses_and_lines_become_one_list_without_repetitions()
    {
        var list = DraftList.Read(["192.0.2.1", "[2001:db8::1]:1161"], ["# all", "", "192.0.2.1:161 other", "  quay.example.org:1161  harbour\tquay-north # the far one"], "default");

        Assert.Equal(
            [("192.0.2.1", "default", ""), ("[2001:db8::1]:1161", "default", ""), ("quay.example.org:1161", "harbour", "quay-north")],
            list.Select(entry => (entry.Address.Written, entry.Credentials, entry.Id)));
    }

    [Theory]
    [InlineData("192.0.2.1:99999", "192.0.2.1:99999")]
    [InlineData("quay_north!", "quay_north!")]
    [InlineData("192.0.2.1 harbour quay fourth", "fourth")]
    public void A_line_that_cannot_be_read_is_named_with_its_number_and_word(string line, string word)
    {
        var refused = Assert.Throws<SettingsException>(() => DraftList.Read([], ["", line], "default"));

        Assert.Contains("line 2", refused.Message, StringComparison.Ordinal);
        Assert.Contains($"'{word}'", refused.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void No_address_and_too_many_are_refused()
    {
        Assert.Throws<SettingsException>(() => DraftList.Read([], ["# none"], "default"));
        Assert.Throws<SettingsException>(() => DraftList.Read([], Enumerable.Range(1, DraftList.EntriesMax + 1).Select(port => $"192.0.2.1:{port}"), "default"));
    }
}
