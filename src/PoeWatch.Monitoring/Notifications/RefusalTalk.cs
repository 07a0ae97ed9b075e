using System.Net;
using PoeWatch.Snmp.Notifications;

namespace PoeWatch.Monitoring.Notifications;

/// <summary>
/// Decides which refusals are worth a line: the first of a kind from an address, and the first after a quiet time, however many come between. Bounded;
/// pure; not thread safe.
/// </summary>
internal sealed class RefusalTalk
{
    /// <summary>After this time without one of its kind the next is news again.</summary>
    public static readonly TimeSpan Quiet = TimeSpan.FromMinutes(10);

    private const int Remembered = 1000;

    private readonly Dictionary<(IPAddress, NotificationRefusal), TimeSpan> _last = [];
    private TimeSpan? _full;

    /// <returns>Whether to say it, and whether to say that more addresses do the like than are remembered.</returns>
    public (bool IsNews, bool IsFull) Note(IPAddress address, NotificationRefusal why, TimeSpan now)
    {
        var known = _last.TryGetValue((address, why), out TimeSpan last);
        if (!known && _last.Count >= Remembered && !MakeRoom(now))
        {
            var isFirst = _full is not { } since || now - since > Quiet;
            _full = isFirst ? now : _full;
            return (false, isFirst);
        }

        _last[(address, why)] = now;
        return (!known || now - last > Quiet, false);
    }

    private bool MakeRoom(TimeSpan now)
    {
        // Looked through at most once in a while: else a flood from forged addresses would buy a scan with every datagram.
        if (_full is { } since && now - since <= Quiet)
        {
            return false;
        }

        foreach (var old in _last.Where(l => now - l.Value > Quiet).Select(l => l.Key).ToList())
        {
            _last.Remove(old);
        }

        return _last.Count < Remembered;
    }
}
