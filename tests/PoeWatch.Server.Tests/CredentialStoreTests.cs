using Microsoft.Extensions.Time.Testing;
using PoeWatch.Server.Settings;
using PoeWatch.Snmp;

namespace PoeWatch.Server.Tests;

public sealed class CredentialStoreTests : IDisposable
{
    private readonly string _file = Path.GetTempFileName();
    private readonly FakeTimeProvider _time = new();

    [Fact]
    public void A_name_that_the_settings_lack_is_told_with_its_remedy()
    {
        Assert.Null(Store(new CredentialSettings()).Find("other", out string problem));
        Assert.Contains("'other'", problem, StringComparison.Ordinal);
    }

    [Fact]
    public void A_user_gets_the_protocols_that_the_settings_name()
    {
        var setting = new CredentialSettings
        {
            Version = "v3", User = "mira", Auth = "sha256", AuthPassphrase = "long enough 1", Privacy = "aes128", PrivacyPassphrase = "long enough 2",
        };

        var user = Assert.IsType<UsmCredentials>(Store(setting).Find("name", out _));

        Assert.Equal(("mira", AuthProtocol.Sha256, PrivacyProtocol.Aes128), (user.UserName, user.Auth, user.Privacy));
    }

    [Theory]
    [InlineData("md5", "none")]
    [InlineData("sha1", "des")]
    public void Broken_protocols_need_consent(string auth, string privacy)
    {
        var setting = new CredentialSettings
        {
            Version = "v3",
            User = "mira",
            Auth = auth,
            AuthPassphrase = "long enough 1",
            Privacy = privacy,
            PrivacyPassphrase = privacy == "none" ? null : "long enough 2",
        };

        Assert.Null(Store(setting).Find("name", out string problem));
        Assert.Contains("allowWeak", problem, StringComparison.Ordinal);
        setting.AllowWeak = true;
        Assert.NotNull(Store(setting).Find("name", out _));
    }

    // RFC 3414 section 11.2: a passphrase has at least eight characters.
    [Fact]
    public void A_short_passphrase_is_refused_and_not_repeated()
    {
        Assert.Null(Store(new CredentialSettings { Version = "v3", User = "mira", Auth = "sha1", AuthPassphrase = "hunter2" }).Find("name", out string problem));

        Assert.Contains("at least 8", problem, StringComparison.Ordinal);
        Assert.DoesNotContain("hunter2", problem, StringComparison.Ordinal);
    }

    [Fact]
    public void A_secret_in_a_file_is_used_and_its_rotation_needs_no_restart()
    {
        File.WriteAllText(_file, "first passphrase\n");
        CredentialStore store = Store(new CredentialSettings { Version = "v3", User = "mira", Auth = "sha1", AuthPassphraseFile = _file });
        SnmpCredentials? before = store.Find("name", out _);
        Assert.Equal(new UsmCredentials("mira", AuthProtocol.Sha1, "first passphrase"), before);

        File.WriteAllText(_file, "second passphrase");
        _time.Advance(TimeSpan.FromSeconds(11));

        Assert.Equal(new UsmCredentials("mira", AuthProtocol.Sha1, "second passphrase"), store.Find("name", out _));
    }

    [Fact]
    public void A_secret_file_that_cannot_be_read_is_told()
    {
        Assert.Null(Store(new CredentialSettings { CommunityFile = _file + ".none" }).Find("name", out string problem));
        Assert.Contains(".none", problem, StringComparison.Ordinal);
    }

    [Fact]
    public void A_secret_that_is_written_twice_is_refused()
    {
        Assert.Null(Store(new CredentialSettings { Community = "a", CommunityFile = _file }).Find("name", out string problem));
        Assert.Contains("both set", problem, StringComparison.Ordinal);
    }

    public void Dispose() => File.Delete(_file);

    private CredentialStore Store(CredentialSettings setting) =>
        new(new Dictionary<string, CredentialSettings> { ["name"] = setting }, _time);
}
