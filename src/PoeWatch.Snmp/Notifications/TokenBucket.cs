namespace PoeWatch.Snmp.Notifications;

/// <summary>A rate with some burst: tokens come in evenly up to a bound, each datagram takes one. Not thread safe.</summary>
internal sealed class TokenBucket
{
    private readonly double _perSecond;
    private readonly double _burst;
    private double _tokens;
    private TimeSpan _filledAt;

    /// <param name="perSecond">Tokens a second, more than 0.</param>
    /// <param name="burst">The most that can be saved up; it starts full.</param>
    public TokenBucket(double perSecond, double burst, TimeSpan now) => (_perSecond, _burst, _tokens, _filledAt) = (perSecond, burst, burst, now);

    /// <summary>Takes one token; false where none is left. Times are monotonic.</summary>
    public bool TryTake(TimeSpan now)
    {
        if (now > _filledAt)
        {
            _tokens = Math.Min(_burst, _tokens + ((now - _filledAt).TotalSeconds * _perSecond));
            _filledAt = now;
        }

        if (_tokens < 1)
        {
            return false;
        }

        _tokens--;
        return true;
    }
}
