using System.Net;

namespace PoeWatch.Snmp.Tests.Security;

/// <summary>What may be written as credentials, and that none of it comes out as text.</summary>
public sealed class CredentialsTests
{
    [Fact]
    public void Rejects_a_short_passphrase_with_user_length_and_remedy()
    {
        ArgumentException error = Assert.Throws<ArgumentException>(
            () => new UsmCredentials("poller", AuthProtocol.Sha256, "short12"));

        Assert.Contains("authentication passphrase of user 'poller' has 7 characters", error.Message, StringComparison.Ordinal);
        Assert.Contains("at least 8", error.Message, StringComparison.Ordinal);
        Assert.DoesNotContain("short12", error.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Rejects_parts_that_do_not_fit_together()
    {
        Assert.Throws<ArgumentException>(() => new UsmCredentials("u", privacy: PrivacyProtocol.Aes128, privacyPassphrase: "privpass99"));
        Assert.Throws<ArgumentException>(() => new UsmCredentials("u", authPassphrase: "authpass99"));
        Assert.Throws<ArgumentException>(() => new UsmCredentials("u", AuthProtocol.Sha1, "authpass99", PrivacyProtocol.Aes128, "short"));
        Assert.Throws<ArgumentException>(() => new UsmCredentials(new string('u', 33)));
        Assert.Throws<ArgumentException>(() => new CommunityCredentials(""));
        Assert.Throws<ArgumentException>(() => new CommunityCredentials(new string('c', 256)));
    }

    [Fact]
    public void Rejects_impatient_and_endless_targets()
    {
        IPEndPoint endpoint = new(IPAddress.Loopback, 161);
        CommunityCredentials community = new("public");

        Assert.Throws<ArgumentOutOfRangeException>(() => new SnmpTarget(endpoint, community, TimeSpan.FromMilliseconds(1)));
        Assert.Throws<ArgumentOutOfRangeException>(() => new SnmpTarget(endpoint, community, retries: 11));
        Assert.Throws<ArgumentOutOfRangeException>(() => new SnmpTarget(endpoint, community, maxMessageSize: 483));
    }

    [Fact]
    public void Secrets_never_come_out_as_text()
    {
        IPEndPoint endpoint = new(IPAddress.Parse("192.0.2.7"), 161);
        UsmCredentials user = new("poller", AuthProtocol.Sha256, "secret-auth", PrivacyProtocol.Aes128, "secret-priv");
        SnmpTarget v3 = new(endpoint, user);
        SnmpTarget v2 = new(endpoint, new CommunityCredentials("secret-community"));
        string everything = string.Join('\n', user, v3, v2, v2.Credentials,
            string.Join('\n', Enum.GetValues<SnmpOutcome>().Select(outcome => new SnmpResult { Outcome = outcome, Target = v2 })),
            string.Join('\n', Enum.GetValues<SnmpOutcome>().Select(outcome => new SnmpResult { Outcome = outcome, Target = v3 })));

        Assert.DoesNotContain("secret", everything, StringComparison.Ordinal);
        Assert.Equal("192.0.2.7:161 v3 user 'poller' authPriv Sha256/Aes128", v3.ToString());
        Assert.Equal("192.0.2.7:161 v2c", v2.ToString());
    }

    [Fact]
    public void Every_outcome_explains_itself()
    {
        SnmpTarget target = new(new IPEndPoint(IPAddress.Loopback, 161), new CommunityCredentials("public"));

        Assert.All(
            Enum.GetValues<SnmpOutcome>().Where(outcome => outcome != SnmpOutcome.Unknown),
            outcome => Assert.False(
                new SnmpResult { Outcome = outcome, Target = target }.Summary.EndsWith(": unknown", StringComparison.Ordinal), $"{outcome}"));
    }

    [Fact]
    public void Equal_content_is_equal_and_any_difference_is_not()
    {
        UsmCredentials one = new("u", AuthProtocol.Sha1, "authpass99", PrivacyProtocol.Aes128, "privpass99", "ctx");

        Assert.Equal(one, new UsmCredentials("u", AuthProtocol.Sha1, "authpass99", PrivacyProtocol.Aes128, "privpass99", "ctx"));
        Assert.NotEqual(one, new UsmCredentials("u", AuthProtocol.Sha1, "authpass98", PrivacyProtocol.Aes128, "privpass99", "ctx"));
        Assert.NotEqual(one, new UsmCredentials("u", AuthProtocol.Sha1, "authpass99", PrivacyProtocol.Aes128, "privpass98", "ctx"));
        Assert.NotEqual(one, new UsmCredentials("u", AuthProtocol.Sha256, "authpass99", PrivacyProtocol.Aes128, "privpass99", "ctx"));
        Assert.NotEqual(one, new UsmCredentials("u", AuthProtocol.Sha1, "authpass99", PrivacyProtocol.Aes128, "privpass99"));
    }
}
