namespace PoeWatch.Snmp;

/// <summary>How a v3 message is authenticated: an HMAC of RFC 3414 section 6, 7 or RFC 7860.</summary>
public enum AuthProtocol
{
    None = 0,

    /// <summary>HMAC-MD5-96. Weak: only where a device offers nothing better.</summary>
    Md5,

    /// <summary>HMAC-SHA-96.</summary>
    Sha1,
    Sha224,
    Sha256,
    Sha384,
    Sha512,
}

/// <summary>
/// How a v3 message is encrypted. AES with 192 and 256 bits stands in no RFC: devices stretch a key that is too short by
/// one of two drafts, named after their authors. They differ only where the digest is shorter than the key.
/// </summary>
public enum PrivacyProtocol
{
    None = 0,

    /// <summary>CBC-DES of RFC 3414 section 8. Weak: only where a device offers nothing better.</summary>
    Des,

    /// <summary>CFB128-AES-128 of RFC 3826.</summary>
    Aes128,
    Aes192Reeder,
    Aes192Blumenthal,
    Aes256Reeder,
    Aes256Blumenthal,
}
