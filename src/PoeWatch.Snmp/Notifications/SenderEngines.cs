using PoeWatch.Snmp.Security;

namespace PoeWatch.Snmp.Notifications;

/// <summary>
/// The engines that traps came from, with keys, clock and the last messages of each. One is kept only after a message of it proved authentic, so
/// that forged engine ids cost a hash and no memory. Not thread safe.
/// </summary>
internal sealed class SenderEngines(TimeProvider time, UserKeyCache userKeys)
{
    private const int EnginesMax = 20_000;

    private readonly Dictionary<(string EngineId, string User), SenderEngine> _known = [];
    private readonly Queue<(string EngineId, string User)> _oldest = new();

    public int Count => _known.Count;

    public SenderEngine Find(ReadOnlySpan<byte> engineId, UsmCredentials user) =>
        _known.TryGetValue((Convert.ToHexString(engineId), user.UserName), out SenderEngine? known) && known.Session.Credentials.Equals(user)
            ? known
            : new SenderEngine(new UsmSession(user, engineId, new EngineClock(time, 0, 0), userKeys));

    public void Keep(SenderEngine engine)
    {
        (string, string) key = (Convert.ToHexString(engine.Session.EngineId), engine.Session.Credentials.UserName);
        if (_known.TryGetValue(key, out SenderEngine? old))
        {
            if (!ReferenceEquals(old, engine))
            {
                // Other credentials: the old ones were rotated out.
                old.Session.Wipe();
                _known[key] = engine;
            }

            return;
        }

        _known[key] = engine;

        _oldest.Enqueue(key);
        if (_oldest.Count > EnginesMax && _known.Remove(_oldest.Dequeue(), out SenderEngine? dropped))
        {
            dropped.Session.Wipe();
        }
    }

    public void Wipe()
    {
        foreach (SenderEngine engine in _known.Values)
        {
            engine.Session.Wipe();
        }

        _known.Clear();
        _oldest.Clear();
    }
}

/// <summary>One engine as a sender of traps. Not thread safe.</summary>
internal sealed class SenderEngine(UsmSession session)
{
    public UsmSession Session { get; } = session;

    public RecentDigests Recent { get; } = new();
}

/// <summary>The last digests of one sender: within its 150 s the time window alone would let the same message pass again. Not thread safe.</summary>
internal sealed class RecentDigests
{
    // At the usual rates more than come within the window; an older repetition meets the window.
    private const int Kept = 256;

    private readonly HashSet<long> _seen = [];
    private readonly Queue<long> _order = new();

    /// <summary>False where the message was seen before. Eight octets of a digest are enough: a chance hit costs one early poll.</summary>
    public bool IsNew(ReadOnlySpan<byte> digest)
    {
        long head = BitConverter.ToInt64(digest);
        if (!_seen.Add(head))
        {
            return false;
        }

        _order.Enqueue(head);
        if (_order.Count > Kept)
        {
            _seen.Remove(_order.Dequeue());
        }

        return true;
    }
}
