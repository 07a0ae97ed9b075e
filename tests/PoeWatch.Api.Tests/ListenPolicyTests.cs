using PoeWatch.Api.Access;

namespace PoeWatch.Api.Tests;

public sealed class ListenPolicyTests
{
    private static readonly ApiKey Key = new("nora", ApiRole.Operator, HashedKey.Create("nora.secret"));

    [Theory]
    [InlineData("127.0.0.1")]
    [InlineData("127.8.0.1")]
    [InlineData("::1")]
    [InlineData("::ffff:127.0.0.1")]
    [InlineData("localhost")]
    public void Loopback_needs_neither_key_nor_tls(string address) => Assert.Empty(ListenPolicy.Check(new ApiOptions { ListenAddress = address }));

    [Theory]
    [InlineData("0.0.0.0")]
    [InlineData("::")]
    [InlineData("192.0.2.7")]
    [InlineData("::ffff:192.0.2.7")]
    [InlineData("2001:db8::7")]
    public void Any_other_address_needs_both_and_both_are_named_at_once(string address)
    {
        var refusals = ListenPolicy.Check(new ApiOptions { ListenAddress = address });
        Assert.Equal(2, refusals.Length);
        Assert.All(refusals, r => Assert.Equal(("listenAddress", address), (r.Setting, r.Value)));
        Assert.Contains("key NAME", refusals[0].Remedy, StringComparison.Ordinal);
        Assert.Contains("behindTlsProxy: true", refusals[1].Remedy, StringComparison.Ordinal);
    }

    [Fact]
    public void A_key_with_a_certificate_or_a_stated_proxy_will_do()
    {
        var open = new ApiOptions { ListenAddress = "0.0.0.0", Keys = [Key] };
        Assert.Single(ListenPolicy.Check(open));
        Assert.Empty(ListenPolicy.Check(open with { CertificateFile = "haven.pfx" }));
        Assert.Empty(ListenPolicy.Check(open with { BehindTlsProxy = true }));
        Assert.Single(ListenPolicy.Check(new ApiOptions { ListenAddress = "0.0.0.0", CertificateFile = "haven.pfx" }));
    }

    [Fact]
    public void Loopback_behind_a_proxy_is_reached_by_others_and_needs_a_key()
    {
        var refusal = Assert.Single(ListenPolicy.Check(new ApiOptions { BehindTlsProxy = true }));
        Assert.Equal("behindTlsProxy", refusal.Setting);
        Assert.Empty(ListenPolicy.Check(new ApiOptions { BehindTlsProxy = true, Keys = [Key] }));
    }

    [Theory]
    [InlineData("skerry.example")]
    [InlineData("127.1")]
    [InlineData("1")]
    [InlineData("")]
    [InlineData("*")]
    public void Rejects_what_is_no_address(string address)
    {
        var refusal = Assert.Single(ListenPolicy.Check(new ApiOptions { ListenAddress = address }));
        Assert.Equal(("listenAddress", address), (refusal.Setting, refusal.Value));
        Assert.False(ListenPolicy.IsLoopback(address));
    }

    [Theory]
    [InlineData(-1)]
    [InlineData(65_536)]
    public void Rejects_ports_that_are_none(int port) => Assert.Equal("listenPort", Assert.Single(ListenPolicy.Check(new ApiOptions { ListenPort = port })).Setting);

    [Fact]
    public void Rejects_keys_with_faults_and_never_repeats_what_may_be_the_key_itself()
    {
        var refusals = ListenPolicy.Check(new ApiOptions
        {
            Keys = [Key, Key with { Role = ApiRole.Unknown }, new ApiKey("Nora!", ApiRole.Reader, "nora.secret-in-the-clear")],
        });
        Assert.Equal(["keys[1].name", "keys[1].role", "keys[2].name", "keys[2].hash"], refusals.Select(r => r.Setting));
        Assert.DoesNotContain("secret-in-the-clear", string.Join('\n', refusals), StringComparison.Ordinal);
    }
}
