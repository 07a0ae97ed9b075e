using System.Collections.Concurrent;
using System.Security.Cryptography;

namespace PoeWatch.Snmp.Security;

/// <summary>
/// Ku by protocol and exact passphrase bytes, so that the one-MiB hash runs once however many engines share a passphrase.
/// Bounded and thread-safe; no lock is held while a hash runs. Clear it to wipe the keys.
/// </summary>
internal sealed class UserKeyCache
{
    /// <summary>Far more passphrases than a site has; beyond them keys are derived each time.</summary>
    private const int Capacity = 1024;

    private readonly Lock _wiping = new();
    private readonly ConcurrentDictionary<Entry, Lazy<byte[]>> _keys = new();

    /// <summary>How many passphrases have been hashed.</summary>
    public int Count => _keys.Count;

    /// <summary>A copy of the key, for the caller to wipe: the cache may wipe its own at any time.</summary>
    public byte[] Get(AuthProtocol protocol, ReadOnlySpan<byte> passphrase)
    {
        Entry entry = new(protocol, passphrase.ToArray());
        while (_keys.Count < Capacity || _keys.ContainsKey(entry))
        {
            Lazy<byte[]> lazy = _keys.GetOrAdd(
                entry, static key => new Lazy<byte[]>(() => KeyDerivation.FromPassphrase(key.Protocol, key.Passphrase)));
            byte[] found = lazy.Value;
            lock (_wiping)
            {
                if (_keys.TryGetValue(entry, out Lazy<byte[]>? still) && ReferenceEquals(still, lazy))
                {
                    return [.. found];
                }
            }
        }

        return KeyDerivation.FromPassphrase(protocol, passphrase);
    }

    /// <summary>Overwrites the key of a passphrase that has been rotated out. Whoever still shares it has it derived again.</summary>
    public void Forget(AuthProtocol protocol, ReadOnlySpan<byte> passphrase)
    {
        lock (_wiping)
        {
            Wipe(protocol, passphrase);
        }
    }

    private void Wipe(AuthProtocol protocol, ReadOnlySpan<byte> passphrase)
    {
        foreach ((Entry entry, Lazy<byte[]> key) in _keys)
        {
            if (entry.Protocol == protocol && entry.Passphrase.AsSpan().SequenceEqual(passphrase) && _keys.TryRemove(entry, out _))
            {
                CryptographicOperations.ZeroMemory(entry.Passphrase);
                CryptographicOperations.ZeroMemory(key.Value);
            }
        }
    }

    public void Clear()
    {
        foreach ((Entry entry, Lazy<byte[]> key) in _keys)
        {
            CryptographicOperations.ZeroMemory(entry.Passphrase);
            if (key.IsValueCreated)
            {
                CryptographicOperations.ZeroMemory(key.Value);
            }
        }

        _keys.Clear();
    }

    private readonly struct Entry(AuthProtocol protocol, byte[] passphrase) : IEquatable<Entry>
    {
        public AuthProtocol Protocol { get; } = protocol;

        public byte[] Passphrase { get; } = passphrase;

        public bool Equals(Entry other) => Protocol == other.Protocol && Passphrase.AsSpan().SequenceEqual(other.Passphrase);

        public override bool Equals(object? obj) => obj is Entry other && Equals(other);

        public override int GetHashCode()
        {
            HashCode hash = default;
            hash.Add(Protocol);
            hash.AddBytes(Passphrase);
            return hash.ToHashCode();
        }
    }
}
