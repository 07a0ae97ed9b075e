using PoeWatch.Snmp;

namespace PoeWatch.Server.Settings;

/// <summary>The names that settings and command line use for protocols of SNMPv3. Pure.</summary>
public static class CredentialNames
{
    private static readonly Dictionary<string, AuthProtocol> Auths = new(StringComparer.Ordinal)
    {
        ["none"] = AuthProtocol.None,
        ["md5"] = AuthProtocol.Md5,
        ["sha1"] = AuthProtocol.Sha1,
        ["sha224"] = AuthProtocol.Sha224,
        ["sha256"] = AuthProtocol.Sha256,
        ["sha384"] = AuthProtocol.Sha384,
        ["sha512"] = AuthProtocol.Sha512,
    };

    private static readonly Dictionary<string, PrivacyProtocol> Privacies = new(StringComparer.Ordinal)
    {
        ["none"] = PrivacyProtocol.None,
        ["des"] = PrivacyProtocol.Des,
        ["aes128"] = PrivacyProtocol.Aes128,
        ["aes192"] = PrivacyProtocol.Aes192Reeder,
        ["aes256"] = PrivacyProtocol.Aes256Reeder,
        ["aes192-blumenthal"] = PrivacyProtocol.Aes192Blumenthal,
        ["aes256-blumenthal"] = PrivacyProtocol.Aes256Blumenthal,
    };

    /// <exception cref="ArgumentException">Unknown, or weak without consent.</exception>
    public static AuthProtocol Auth(string name, bool allowWeak)
    {
        AuthProtocol found = Pick(Auths, name, "auth");
        return found != AuthProtocol.Md5 || allowWeak ? found : throw Weak(name);
    }

    /// <exception cref="ArgumentException">Unknown, or weak without consent.</exception>
    public static PrivacyProtocol Privacy(string name, bool allowWeak)
    {
        PrivacyProtocol found = Pick(Privacies, name, "privacy");
        return found != PrivacyProtocol.Des || allowWeak ? found : throw Weak(name);
    }

    private static T Pick<T>(Dictionary<string, T> known, string name, string setting) =>
        known.TryGetValue(name, out T? found)
            ? found
            : throw new ArgumentException($"'{setting}' is '{name}'; it must be one of {string.Join(", ", known.Keys)}.");

    private static ArgumentException Weak(string name) =>
        new($"'{name}' is broken and used only with consent: set 'allowWeak' to true, or better a SHA and AES protocol on the device.");
}
