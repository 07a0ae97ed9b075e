using System.Security.Cryptography;

namespace PoeWatch.Snmp.Security;

/// <summary>
/// One user at one engine: the localised keys, the engine's clock and the salt counter. The identity never changes; a new
/// engine id or other credentials make a new session. Thread-safe.
/// </summary>
internal sealed class UsmSession
{
    private readonly byte[] _engineId;
    private readonly byte[] _authKey;

    // A salt must not come again under the same key, also after a restart: a random start in 64 bits sees to that.
    private long _salt = BitConverter.ToInt64(RandomNumberGenerator.GetBytes(sizeof(long)));

    public UsmSession(UsmCredentials credentials, ReadOnlySpan<byte> engineId, EngineClock clock, UserKeyCache userKeys)
    {
        Credentials = credentials;
        Clock = clock;
        _engineId = engineId.ToArray();
        _authKey = credentials.Auth == AuthProtocol.None
            ? []
            : Localized(credentials.Auth, credentials.AuthPassphrase, engineId, userKeys);
        Cipher = new SessionCipher(
            credentials.Privacy, credentials.Privacy == PrivacyProtocol.None ? [] : DeriveCipherKey(credentials, engineId, userKeys));
    }

    public UsmCredentials Credentials { get; }

    public EngineClock Clock { get; }

    public ReadOnlySpan<byte> EngineId => _engineId;

    public ReadOnlySpan<byte> AuthKey => _authKey;

    public SessionCipher Cipher { get; }

    public ulong NextSalt() => unchecked((ulong)Interlocked.Increment(ref _salt));

    /// <summary>Overwrites the keys. A request still in flight then fails its digest and nothing else.</summary>
    public void Wipe()
    {
        CryptographicOperations.ZeroMemory(_authKey);
        Cipher.Dispose();
    }

    private static byte[] DeriveCipherKey(UsmCredentials credentials, ReadOnlySpan<byte> engineId, UserKeyCache userKeys)
    {
        byte[] localized = Localized(credentials.Auth, credentials.PrivacyPassphrase, engineId, userKeys);
        byte[] key = KeyDerivation.ForPrivacy(credentials.Auth, credentials.Privacy, localized, engineId);
        CryptographicOperations.ZeroMemory(localized);
        return key;
    }

    private static byte[] Localized(
        AuthProtocol auth, ReadOnlySpan<byte> passphrase, ReadOnlySpan<byte> engineId, UserKeyCache userKeys)
    {
        byte[] userKey = userKeys.Get(auth, passphrase);
        byte[] localized = KeyDerivation.Localize(auth, userKey, engineId);
        CryptographicOperations.ZeroMemory(userKey);
        return localized;
    }
}
