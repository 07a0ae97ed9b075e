using PoeWatch.Api;
using PoeWatch.Server.Composition;
using PoeWatch.Server.Settings;

namespace PoeWatch.Server.Tests;

public class ListeningTests
{
    [Fact]
    public void Loopback_needs_nothing()
    {
        ApiOptions options = Listening.Options(new ListenSettings());

        Assert.Equal(("127.0.0.1", 8460), (options.ListenAddress, options.ListenPort));
    }

    [Fact]
    public void Any_other_address_is_refused_without_key_and_TLS_with_the_place_named()
    {
        var refused = Assert.Throws<SettingsException>(() => Listening.Options(new ListenSettings { Address = "0.0.0.0" }));

        Assert.Contains("listen.address", refused.Message, StringComparison.Ordinal);
        Assert.Contains("0.0.0.0", refused.Message, StringComparison.Ordinal);
    }
}
