using System.Security.Cryptography;
using PoeWatch.Snmp;
using PoeWatch.Snmp.Security;

namespace PoeWatch.Simulator.Agents;

/// <summary>The localised keys of one user at one agent, and its salt counter (RFC 3414 section 2.6). For one thread at a time.</summary>
internal sealed class UsmKeys
{
    private ulong _salt = BitConverter.ToUInt64(RandomNumberGenerator.GetBytes(sizeof(ulong)));

    public UsmKeys(UsmCredentials user, ReadOnlySpan<byte> engineId, UserKeyCache userKeys)
    {
        Auth = user.Auth == AuthProtocol.None
            ? []
            : KeyDerivation.Localize(user.Auth, userKeys.Get(user.Auth, user.AuthPassphrase), engineId);
        Privacy = user.Privacy == PrivacyProtocol.None
            ? []
            : KeyDerivation.ForPrivacy(
                user.Auth,
                user.Privacy,
                KeyDerivation.Localize(user.Auth, userKeys.Get(user.Auth, user.PrivacyPassphrase), engineId),
                engineId);
    }

    public byte[] Auth { get; }

    public byte[] Privacy { get; }

    public ulong NextSalt() => unchecked(++_salt);
}
