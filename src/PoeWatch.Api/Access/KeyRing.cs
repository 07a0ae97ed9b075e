using System.Collections.Concurrent;
using System.Collections.Frozen;
using System.Security.Cryptography;
using System.Text;

namespace PoeWatch.Api.Access;

/// <summary>What came of a shown key.</summary>
internal enum KeyOutcome
{
    Unknown = 0,
    Accepted = 1,
    Refused = 2,

    /// <summary>Too many unknown keys at once: they wait in line and this one waited too long.</summary>
    Busy = 3,
}

/// <summary>
/// Finds who holds a key. The slow hash is computed once per key and process; afterwards a keyed digest of it in memory answers. Thread safe.
/// </summary>
internal sealed class KeyRing(ApiOptions options) : IDisposable
{
    private static readonly TimeSpan WaitMax = TimeSpan.FromSeconds(5);

    private readonly FrozenDictionary<string, ApiKey> _keys = options.Keys.ToFrozenDictionary(k => k.Name, StringComparer.Ordinal);
    private readonly ConcurrentDictionary<string, string> _knownDigests = new(StringComparer.Ordinal);
    private readonly byte[] _digestKey = RandomNumberGenerator.GetBytes(32);

    // One slow hash at a time: a flood of wrong keys must not take the machine from the polls.
    private readonly SemaphoreSlim _oneAtATime = new(1, 1);

    public async ValueTask<(KeyOutcome Outcome, Caller? Caller)> FindAsync(string key, CancellationToken cancellationToken)
    {
        if (key.Length > 256 || HashedKey.NameOf(key) is not { } name || !_keys.TryGetValue(name, out var entry))
        {
            return (KeyOutcome.Refused, null);
        }

        var digest = Convert.ToHexString(HMACSHA256.HashData(_digestKey, Encoding.UTF8.GetBytes(key)));
        if (_knownDigests.TryGetValue(name, out var known)
            && CryptographicOperations.FixedTimeEquals(Encoding.ASCII.GetBytes(known), Encoding.ASCII.GetBytes(digest)))
        {
            return (KeyOutcome.Accepted, new Caller(entry.Name, entry.Role));
        }

        if (!await _oneAtATime.WaitAsync(WaitMax, cancellationToken))
        {
            return (KeyOutcome.Busy, null);
        }

        try
        {
            if (!HashedKey.Matches(key, entry.Hash))
            {
                return (KeyOutcome.Refused, null);
            }
        }
        finally
        {
            _oneAtATime.Release();
        }

        _knownDigests[name] = digest;
        return (KeyOutcome.Accepted, new Caller(entry.Name, entry.Role));
    }

    public void Dispose() => _oneAtATime.Dispose();
}
