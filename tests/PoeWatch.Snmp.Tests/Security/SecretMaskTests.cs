using System.Text;

namespace PoeWatch.Snmp.Tests.Security;

/// <summary>Secrets in octets that are going to be written somewhere.</summary>
public sealed class SecretMaskTests
{
    private static readonly UsmCredentials s_user = new("keeper", AuthProtocol.Sha256, "salt-and-rope", PrivacyProtocol.Aes128, "tide-at-noon");

    [Theory]
    [InlineData("harbour", "a harbour, harbour!", "a *******, *******!")]
    [InlineData("harbour", "harbou", "harbou")]
    [InlineData("abc", "abcabc", "abcabc")]
    [InlineData("abc", "abc", "***")]
    [InlineData("****", "********", "********")]
    [InlineData("quay", "", "")]
    public void A_community_is_overwritten_wherever_it_stands_and_a_short_one_where_it_stands_alone(string community, string text, string left) =>
        Assert.Equal(left, Masked(new CommunityCredentials(community), text));

    [Fact]
    public void Both_passphrases_of_a_user_are_overwritten_and_the_name_stays() =>
        Assert.Equal("keeper ************* / ************", Masked(s_user, "keeper salt-and-rope / tide-at-noon"));

    private static string Masked(SnmpCredentials credentials, string text)
    {
        byte[] octets = Encoding.UTF8.GetBytes(text);
        SecretMask.Apply(credentials, octets);
        return Encoding.UTF8.GetString(octets);
    }
}
