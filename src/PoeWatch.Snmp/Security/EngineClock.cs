namespace PoeWatch.Snmp.Security;

/// <summary>
/// What we know of an engine's boots and time (RFC 3414 section 2.2): the last believed pair, advanced by our monotonic
/// clock. A pair from discovery is a guess that the first authenticated message replaces; after that it never goes
/// backwards within one boots value. Thread-safe.
/// </summary>
internal sealed class EngineClock(TimeProvider time, int boots, int engineTime)
{
    /// <summary>RFC 3414 section 2.2.3: seconds by which a message may lag.</summary>
    public const int WindowSeconds = 150;

    private readonly Lock _lock = new();
    private int _boots = boots;
    private int _latestTime = engineTime;
    private long _anchor = time.GetTimestamp();
    private bool _authenticated;

    /// <summary>The boots and time that the engine should have now.</summary>
    public (int Boots, int Time) Now
    {
        get
        {
            lock (_lock)
            {
                return (_boots, TimeNow());
            }
        }
    }

    /// <summary>
    /// Takes the pair of an authenticated message (RFC 3414 section 3.2, step 7b). False where the message is outside of
    /// the window: a replay, or an engine whose clock went back.
    /// </summary>
    public bool Observe(int boots, int engineTime)
    {
        lock (_lock)
        {
            bool newer = boots > _boots || (boots == _boots && engineTime > _latestTime);
            if (newer || !_authenticated)
            {
                _boots = boots;
                _latestTime = engineTime;
                _anchor = time.GetTimestamp();
                _authenticated = true;
            }

            return _boots != int.MaxValue && boots == _boots && engineTime >= TimeNow() - WindowSeconds;
        }
    }

    private int TimeNow() =>
        (int)Math.Min(int.MaxValue, _latestTime + (long)time.GetElapsedTime(_anchor).TotalSeconds);
}
