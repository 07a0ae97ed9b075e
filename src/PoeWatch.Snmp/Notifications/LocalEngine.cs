using PoeWatch.Snmp.Codec;
using PoeWatch.Snmp.Security;

namespace PoeWatch.Snmp.Notifications;

/// <summary>Who we are to agents that send informs: there the receiver's engine is the authoritative one (RFC 3414 section 1.5.1).</summary>
/// <param name="Id">snmpEngineID (RFC 3411 section 5), 5 to 32 octets, the same over restarts.</param>
/// <param name="Boots">snmpEngineBoots, one more with every start, from 1.</param>
public sealed record EngineIdentity(IReadOnlyList<byte> Id, int Boots);

/// <summary>Our own engine with its clock and the sessions of users at it. Not thread safe.</summary>
internal sealed class LocalEngine
{
    private const int SessionsMax = 1024;

    private readonly TimeProvider _time;
    private readonly long _start;
    private readonly byte[] _id;
    private readonly UserKeyCache _userKeys;
    private readonly Dictionary<UsmCredentials, UsmSession> _sessions = [];

    public LocalEngine(EngineIdentity identity, TimeProvider time, UserKeyCache userKeys)
    {
        _id = [.. identity.Id];
        if (_id.Length is < 5 or > UsmMessage.MaxEngineIdLength || identity.Boots < 1)
        {
            throw new ArgumentException("An engine id has 5 to 32 octets (RFC 3411) and boots begin at 1.", nameof(identity));
        }

        (_time, _start, _userKeys, Boots) = (time, time.GetTimestamp(), userKeys, identity.Boots);
    }

    public ReadOnlySpan<byte> Id => _id;

    public int Boots { get; }

    public RecentDigests Recent { get; } = new();

    /// <summary>snmpEngineTime: seconds since the start.</summary>
    public int Time => (int)Math.Min(int.MaxValue, (long)_time.GetElapsedTime(_start).TotalSeconds);

    /// <summary>RFC 3414 section 3.2 step 7a.</summary>
    public bool IsInTime(int boots, int engineTime) =>
        Boots != int.MaxValue && boots == Boots && Math.Abs((long)engineTime - Time) <= EngineClock.WindowSeconds;

    public UsmSession SessionOf(UsmCredentials user)
    {
        if (_sessions.TryGetValue(user, out UsmSession? known))
        {
            return known;
        }

        if (_sessions.Count >= SessionsMax)
        {
            Wipe();
        }

        return _sessions[user] = new UsmSession(user, _id, new EngineClock(_time, Boots, Time), _userKeys);
    }

    public void Wipe()
    {
        foreach (UsmSession session in _sessions.Values)
        {
            session.Wipe();
        }

        _sessions.Clear();
    }
}
