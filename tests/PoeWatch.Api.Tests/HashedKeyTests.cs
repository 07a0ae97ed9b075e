using System.Security.Cryptography;
using System.Text;
using PoeWatch.Api.Access;

namespace PoeWatch.Api.Tests;

public sealed class HashedKeyTests
{
    [Fact]
    public void A_drawn_key_matches_its_hash_and_no_other()
    {
        var (key, hash) = HashedKey.Draw("nora");
        Assert.StartsWith("nora.", key, StringComparison.Ordinal);
        Assert.Equal("nora", HashedKey.NameOf(key));
        Assert.True(HashedKey.Matches(key, hash));
        Assert.False(HashedKey.Matches(key + "x", hash));
        Assert.False(HashedKey.Matches(HashedKey.Draw("nora").Key, hash));
    }

    [Fact]
    public void The_hash_holds_neither_the_key_nor_the_same_salt_twice()
    {
        var (key, hash) = HashedKey.Draw("nora");
        Assert.DoesNotContain(key[5..], hash, StringComparison.Ordinal);
        Assert.NotEqual(hash, HashedKey.Create(key));
    }

    /// <summary>
    /// RFC 7914 (August 2016), section 11, test vectors of PBKDF2-HMAC-SHA-256. Their salts have four bytes and ours at least eight, so the
    /// primitive is checked by itself.
    /// </summary>
    [Theory]
    [InlineData("passwd", "salt", 1, "55ac046e56e3089fec1691c22544b605f94185216dde0465e68b9d57c20dacbc49ca9cccf179b645991664b39d77ef317c71b845b1e30bd509112041d3a19783")]
    [InlineData("Password", "NaCl", 80_000, "4ddcd8f60b98be21830cee5ef22701f9641a4418d04c0414aeff08876b34ab56a1d425a1225833549adb841b51c9b3176a272bdebba1d078478f62b397f33c8d")]
    public void The_primitive_gives_the_published_vectors(string password, string salt, int rounds, string expected) =>
        Assert.Equal(
            expected,
            Convert.ToHexStringLower(Rfc2898DeriveBytes.Pbkdf2(
                Encoding.ASCII.GetBytes(password), Encoding.ASCII.GetBytes(salt), rounds, HashAlgorithmName.SHA256, expected.Length / 2)));

    [Fact]
    public void A_hash_written_by_other_means_is_understood()
    {
        var salt = Encoding.ASCII.GetBytes("saltsalt");
        var derived = Rfc2898DeriveBytes.Pbkdf2(Encoding.ASCII.GetBytes("nora.secret"), salt, 1_000, HashAlgorithmName.SHA256, 32);
        Assert.True(HashedKey.Matches("nora.secret", $"pbkdf2-sha256$1000${Convert.ToBase64String(salt)}${Convert.ToBase64String(derived)}"));
    }

    [Theory]
    [InlineData("")]
    [InlineData("nora.secret")]
    [InlineData("pbkdf2-sha1$1000$c2FsdHNhbHQ=$c2FsdHNhbHRzYWx0c2FsdA==")]
    [InlineData("pbkdf2-sha256$0$c2FsdHNhbHQ=$c2FsdHNhbHRzYWx0c2FsdA==")]
    [InlineData("pbkdf2-sha256$99999999$c2FsdHNhbHQ=$c2FsdHNhbHRzYWx0c2FsdA==")]
    [InlineData("pbkdf2-sha256$1000$c2FsdA==$c2FsdHNhbHRzYWx0c2FsdA==")]
    [InlineData("pbkdf2-sha256$1000$c2FsdHNhbHQ=$c2Fs")]
    [InlineData("pbkdf2-sha256$1000$!$c2FsdHNhbHRzYWx0c2FsdA==")]
    public void Rejects_what_is_no_hash_of_a_key(string hash)
    {
        Assert.False(HashedKey.IsWellFormed(hash));
        Assert.False(HashedKey.Matches("nora.secret", hash));
    }

    [Theory]
    [InlineData("")]
    [InlineData("Nora")]
    [InlineData("no ra")]
    [InlineData("nora.two")]
    public void Rejects_names_that_cannot_stand_in_front_of_a_key(string name) => Assert.Throws<ArgumentException>(() => HashedKey.Draw(name));
}
