using System.Text;
using PoeWatch.Snmp.Security;

namespace PoeWatch.Snmp.Tests.Security;

/// <summary>Keys, hashes and ciphers against published vectors.</summary>
public sealed class KeyDerivationTests
{
    private static readonly byte[] Passphrase = "maplesyrup"u8.ToArray();
    private static readonly byte[] EngineId = Convert.FromHexString("000000000000000000000002");

    private static byte[] Localized(AuthProtocol protocol) =>
        KeyDerivation.Localize(protocol, KeyDerivation.FromPassphrase(protocol, Passphrase), EngineId);

    [Theory]
    [InlineData(AuthProtocol.Md5, "9faf3283884e92834ebc9847d8edd963")] // RFC 3414 A.3.1
    [InlineData(AuthProtocol.Sha1, "9fb5cc0381497b3793528939ff788d5d79145211")] // RFC 3414 A.3.2
    public void Users_key_comes_from_the_passphrase(AuthProtocol protocol, string key) =>
        Assert.Equal(key, Convert.ToHexString(KeyDerivation.FromPassphrase(protocol, Passphrase)), ignoreCase: true);

    [Theory]
    [InlineData(AuthProtocol.Md5, "526f5eed9fcce26f8964c2930787d82b")] // RFC 3414 A.3.1
    [InlineData(AuthProtocol.Sha1, "6695febc9288e36282235fc7151f128497b38f3f")] // RFC 3414 A.3.2
    // The rest: the same passphrase and engine id, agreed by two independent implementations (one for SHA-224).
    [InlineData(AuthProtocol.Sha224, "0bd8827c6e29f8065e08e09237f177e410f69b90e1782be682075674")]
    [InlineData(AuthProtocol.Sha256, "8982e0e549e866db361a6b625d84cccc11162d453ee8ce3a6445c2d6776f0f8b")]
    [InlineData(AuthProtocol.Sha384, "3b298f16164a11184279d5432bf169e2d2a48307de02b3d3f7e2b4f36eb6f0455a53689a3937eea07319a633d2ccba78")]
    [InlineData(
        AuthProtocol.Sha512,
        "22a5a36cedfcc085807a128d7bc6c2382167ad6c0dbc5fdff856740f3d84c099ad1ea87a8db096714d9788bd544047c9021e4229ce27e4c0a69250adfcffbb0b")]
    public void Key_at_an_engine_comes_from_the_users_key(AuthProtocol protocol, string key) =>
        Assert.Equal(key, Convert.ToHexString(Localized(protocol)), ignoreCase: true);

    // Reeder: agreed by two independent implementations. Blumenthal: by one. Net-SNMP 5.9.3's snmpd takes keys made either way.
    [Theory]
    [InlineData(PrivacyProtocol.Aes256Reeder, "6695febc9288e36282235fc7151f128497b38f3f9b8b6d78936ba6e7d19dfd9c")]
    [InlineData(PrivacyProtocol.Aes256Blumenthal, "6695febc9288e36282235fc7151f128497b38f3f505e07eb9af25568fa1f5dbe")]
    [InlineData(PrivacyProtocol.Aes192Reeder, "6695febc9288e36282235fc7151f128497b38f3f9b8b6d78")]
    [InlineData(PrivacyProtocol.Aes192Blumenthal, "6695febc9288e36282235fc7151f128497b38f3f505e07eb")]
    [InlineData(PrivacyProtocol.Aes128, "6695febc9288e36282235fc7151f1284")]
    public void Short_digests_are_stretched_by_the_named_draft(PrivacyProtocol privacy, string key) =>
        Assert.Equal(
            key,
            Convert.ToHexString(KeyDerivation.ForPrivacy(AuthProtocol.Sha1, privacy, Localized(AuthProtocol.Sha1), EngineId)),
            ignoreCase: true);

    [Fact]
    public void Both_drafts_agree_where_the_digest_is_long_enough()
    {
        byte[] localized = Localized(AuthProtocol.Sha256);

        byte[] key = KeyDerivation.ForPrivacy(AuthProtocol.Sha256, PrivacyProtocol.Aes256Reeder, localized, EngineId);

        Assert.Equal(localized, key);
        Assert.Equal(key, KeyDerivation.ForPrivacy(AuthProtocol.Sha256, PrivacyProtocol.Aes256Blumenthal, localized, EngineId));
    }

    [Theory]
    [InlineData("abc", "23097d223405d8228642a477bda255b32aadbce4bda0b3f7e36c9da7")] // RFC 3874 section 3.1
    [InlineData(
        "abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq", "75388b16512776cc5dba5da1fd890150b0c6455cb4f58b1952522525")] // RFC 3874 section 3.2
    [InlineData("", "d14a028c2a3a2bc9476102bb288234c415a2b01f828ea62ac5b3e42f")] // from memory of the FIPS 180-4 test values
    public void Sha224_gives_the_published_digests(string text, string digest)
    {
        byte[] hash = new byte[Sha224.DigestLength];
        Sha224.HashData(Encoding.ASCII.GetBytes(text), hash);

        Assert.Equal(digest, Convert.ToHexString(hash), ignoreCase: true);
    }

    [Theory]
    [InlineData("0b0b0b0b0b0b0b0b0b0b0b0b0b0b0b0b0b0b0b0b", "Hi There", "896fb1128abbdf196832107cd49df33f47b4b1169912ba4f53684b22")] // RFC 4231 4.2
    [InlineData("4a656665", "what do ya want for nothing?", "a30e01098bc6dbbf45690f3a7e9e6d0f8bbea2a39e6148008fd05e44")] // RFC 4231 4.3
    [InlineData(null, "Test Using Larger Than Block-Size Key - Hash Key First", "95e9a0db962095adaebe9b2d6f0dbce2d499f112f2d2b7273fa6870e")] // RFC 4231 4.7
    public void Hmac_sha224_gives_the_published_digests(string? keyHex, string text, string digest)
    {
        byte[] key = keyHex is null ? [.. Enumerable.Repeat((byte)0xAA, 131)] : Convert.FromHexString(keyHex);
        byte[] hash = new byte[Sha224.DigestLength];
        Sha224.HmacData(key, Encoding.ASCII.GetBytes(text), hash);

        Assert.Equal(digest, Convert.ToHexString(hash), ignoreCase: true);
    }

    // NIST SP 800-38A sections F.3.13, F.3.15, F.3.17 (CFB128, encrypt). The IV there is 00 to 0F: boots, time and salt.
    [Theory]
    [InlineData(PrivacyProtocol.Aes128, "2b7e151628aed2a6abf7158809cf4f3c", "3b3fd92eb72dad20333449f8e83cfb4ac8a64537a0b3a93fcde3cdad9f1ce58b")]
    [InlineData(
        PrivacyProtocol.Aes192Reeder, "8e73b0f7da0e6452c810f32b809079e562f8ead2522c6b7b",
        "cdc80d6fddf18cab34c25909c99a417467ce7f7f81173621961a2b70171d3d7a")]
    [InlineData(
        PrivacyProtocol.Aes256Blumenthal, "603deb1015ca71be2b73aef0857d77811f352c073b6108d72d9810a30914dff4",
        "dc7e84bfda79164b7ecd8486985d386039ffed143b28b1c832113c6331e5407b")]
    public void Aes_gives_the_published_blocks_at_every_length(PrivacyProtocol protocol, string keyHex, string encryptedHex)
    {
        byte[] key = Convert.FromHexString(keyHex);
        byte[] salt = Convert.FromHexString("08090a0b0c0d0e0f");
        byte[] plain = Convert.FromHexString("6bc1bee22e409f96e93d7e117393172aae2d8a571e03ac9c9eb76fac45af8e51");
        for (int length = 1; length <= plain.Length; length++)
        {
            byte[] encrypted = new byte[PrivacyCipher.EncryptedLength(protocol, length)];
            PrivacyCipher.Encrypt(protocol, key, 0x00010203, 0x04050607, salt, plain.AsSpan(0, length), encrypted);

            Assert.Equal(encryptedHex[..(2 * length)], Convert.ToHexString(encrypted), ignoreCase: true);
            Assert.True(PrivacyCipher.TryDecrypt(protocol, key, 0x00010203, 0x04050607, salt, encrypted, out byte[] back));
            Assert.Equal(plain[..length], back[..length]);
        }
    }

    [Fact]
    public void Des_gives_the_published_blocks() // FIPS 81 appendix C, CBC; the IV is the pre-IV where the salt is zero
    {
        byte[] key = Convert.FromHexString("0123456789abcdef1234567890abcdef");
        byte[] salt = new byte[8];
        byte[] plain = "Now is the time for all "u8.ToArray();
        byte[] encrypted = new byte[24];

        PrivacyCipher.Encrypt(PrivacyProtocol.Des, key, 0, 0, salt, plain, encrypted);

        Assert.Equal("e5c7cdde872bf27c43e934008c389c0f683788499a7c05f6", Convert.ToHexString(encrypted), ignoreCase: true);
        Assert.True(PrivacyCipher.TryDecrypt(PrivacyProtocol.Des, key, 0, 0, salt, encrypted, out byte[] back));
        Assert.Equal(plain, back);
    }

    [Fact]
    public void Des_fills_up_its_last_block_and_refuses_half_a_one()
    {
        Assert.Equal(24, PrivacyCipher.EncryptedLength(PrivacyProtocol.Des, 17));
        Assert.False(PrivacyCipher.TryDecrypt(PrivacyProtocol.Des, new byte[16], 0, 0, new byte[8], new byte[12], out _));
        Assert.False(PrivacyCipher.TryDecrypt(PrivacyProtocol.Aes128, new byte[16], 0, 0, new byte[7], new byte[12], out _));
        Assert.False(PrivacyCipher.TryDecrypt(PrivacyProtocol.Aes128, new byte[16], 0, 0, new byte[8], [], out _));
    }

    [Fact]
    public void Passphrase_is_hashed_once_and_told_from_others_by_its_exact_bytes()
    {
        UserKeyCache cache = new();
        byte[] first = cache.Get(AuthProtocol.Sha256, "passphrase-1"u8).ToArray();
        for (int i = 0; i < 1000; i++)
        {
            cache.Get(AuthProtocol.Sha256, "passphrase-1"u8);
        }

        Assert.Equal(1, cache.Count);
        Assert.NotEqual(first, cache.Get(AuthProtocol.Sha256, "passphrase-2"u8).ToArray());
        Assert.Equal(2, cache.Count);
        cache.Clear();
        Assert.Equal(0, cache.Count);
    }

    /// <summary>Engine ids whose bytes read alike when joined as decimals: a fault that a known library had.</summary>
    [Fact]
    public void Engines_with_confusable_ids_have_keys_of_their_own()
    {
        byte[] userKey = KeyDerivation.FromPassphrase(AuthProtocol.Sha256, Passphrase);

        Assert.NotEqual(
            KeyDerivation.Localize(AuthProtocol.Sha256, userKey, [0x80, 1, 0x0B]),
            KeyDerivation.Localize(AuthProtocol.Sha256, userKey, [0x80, 0x0B, 1]));
    }
}
