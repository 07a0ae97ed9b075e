using System.Text;

namespace PoeWatch.Snmp;

/// <summary>What opens an agent: a community (v2c) or a user (v3). Immutable. Never shows a secret as text.</summary>
public abstract class SnmpCredentials
{
    private protected SnmpCredentials()
    {
    }
}

/// <summary>An SNMPv2c community. It travels in the clear; an agent that does not know it stays silent.</summary>
public sealed class CommunityCredentials : SnmpCredentials
{
    private readonly byte[] _community;

    public CommunityCredentials(string community)
    {
        ArgumentException.ThrowIfNullOrEmpty(community);
        _community = Encoding.UTF8.GetBytes(community);
        if (_community.Length > 255)
        {
            throw new ArgumentException("The community is longer than 255 bytes; no agent takes such a one.", nameof(community));
        }
    }

    internal ReadOnlySpan<byte> Community => _community;

    public override string ToString() => "v2c";
}

/// <summary>
/// An SNMPv3 user of the User-based Security Model (RFC 3414) at the level its protocols give: noAuthNoPriv, authNoPriv or
/// authPriv. Two with equal content are equal.
/// </summary>
public sealed class UsmCredentials : SnmpCredentials, IEquatable<UsmCredentials>
{
    /// <summary>RFC 3414 section 11.2: a passphrase has at least eight characters.</summary>
    public const int MinPassphraseLength = 8;

    private readonly byte[] _userName;
    private readonly byte[] _authPassphrase;
    private readonly byte[] _privacyPassphrase;
    private readonly byte[] _contextName;

    /// <exception cref="ArgumentException">The parts do not fit together; the message says how they would.</exception>
    public UsmCredentials(
        string userName,
        AuthProtocol auth = AuthProtocol.None,
        string? authPassphrase = null,
        PrivacyProtocol privacy = PrivacyProtocol.None,
        string? privacyPassphrase = null,
        string contextName = "")
    {
        ArgumentException.ThrowIfNullOrEmpty(userName);
        ArgumentNullException.ThrowIfNull(contextName);
        _userName = Encoding.UTF8.GetBytes(userName);
        _contextName = Encoding.UTF8.GetBytes(contextName);
        if (_userName.Length > 32 || _contextName.Length > 32)
        {
            throw new ArgumentException(
                $"The user name '{userName}' or context name '{contextName}' is longer than 32 bytes (RFC 3411 SnmpAdminString limits).",
                nameof(userName));
        }

        if (privacy != PrivacyProtocol.None && auth == AuthProtocol.None)
        {
            throw new ArgumentException(
                $"User '{userName}' has privacy {privacy} without authentication; SNMPv3 has no such level. Set an auth protocol too.",
                nameof(privacy));
        }

        UserName = userName;
        ContextName = contextName;
        Auth = auth;
        Privacy = privacy;
        _authPassphrase = CheckPassphrase(auth != AuthProtocol.None, authPassphrase, "authentication", nameof(authPassphrase));
        _privacyPassphrase = CheckPassphrase(privacy != PrivacyProtocol.None, privacyPassphrase, "privacy", nameof(privacyPassphrase));
    }

    private UsmCredentials(UsmCredentials other)
    {
        UserName = other.UserName;
        ContextName = other.ContextName;
        Auth = other.Auth;
        _userName = other._userName;
        _contextName = other._contextName;
        _authPassphrase = other._authPassphrase;
        _privacyPassphrase = [];
    }

    public string UserName { get; }

    public string ContextName { get; }

    public AuthProtocol Auth { get; }

    public PrivacyProtocol Privacy { get; }

    internal ReadOnlySpan<byte> UserNameBytes => _userName;

    internal ReadOnlySpan<byte> ContextNameBytes => _contextName;

    internal ReadOnlySpan<byte> AuthPassphrase => _authPassphrase;

    internal ReadOnlySpan<byte> PrivacyPassphrase => _privacyPassphrase;

    /// <summary>The same user one level lower, for finding out whether privacy is what fails.</summary>
    internal UsmCredentials WithoutPrivacy() => new(this);

    public bool Equals(UsmCredentials? other) =>
        other is not null && UserName == other.UserName && ContextName == other.ContextName
        && Auth == other.Auth && Privacy == other.Privacy
        && AuthPassphrase.SequenceEqual(other.AuthPassphrase)
        && PrivacyPassphrase.SequenceEqual(other.PrivacyPassphrase);

    public override bool Equals(object? obj) => Equals(obj as UsmCredentials);

    /// <summary>From the public parts only: a hash of a secret is a hint at it.</summary>
    public override int GetHashCode() => HashCode.Combine(UserName, ContextName, Auth, Privacy);

    public override string ToString() => $"v3 user '{UserName}' " + (Auth, Privacy) switch
    {
        (AuthProtocol.None, _) => "noAuthNoPriv",
        (_, PrivacyProtocol.None) => $"authNoPriv {Auth}",
        _ => $"authPriv {Auth}/{Privacy}",
    };

    private byte[] CheckPassphrase(bool wanted, string? passphrase, string purpose, string parameter)
    {
        if (!wanted)
        {
            return passphrase is null
                ? []
                : throw new ArgumentException(
                    $"User '{UserName}' has a passphrase for {purpose} but no protocol for it. Name the protocol or drop the passphrase.",
                    parameter);
        }

        int length = passphrase?.Length ?? 0;
        return length >= MinPassphraseLength
            ? Encoding.UTF8.GetBytes(passphrase!)
            : throw new ArgumentException(
                $"The {purpose} passphrase of user '{UserName}' has {length} characters; SNMPv3 asks for at least "
                + $"{MinPassphraseLength} (RFC 3414 section 11.2). Set a longer one on the device and here.",
                parameter);
    }
}
