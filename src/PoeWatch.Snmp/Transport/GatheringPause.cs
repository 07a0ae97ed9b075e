namespace PoeWatch.Snmp.Transport;

/// <summary>
/// When a receive thread had better wait a little before it looks for more: answers of many switches come in by ones, and each wakes
/// the thread; after a pause one waking takes them all. Where pauses gather nothing it does without for a while. For one thread.
/// </summary>
internal sealed class GatheringPause
{
    /// <summary>Little beside the period of a poll, and far above the time between answers of a thousand switches: a poll of six requests ends 120 ms later.</summary>
    public const uint Microseconds = 20_000;

    private const int MissesAllowed = 4;
    private const int RestAfterMisses = 64;

    private int _misses;
    private int _rest;
    private bool _paused;

    /// <summary>True where a pause pays, after so many datagrams at once.</summary>
    public bool Decide(int received, bool isBusy)
    {
        if (_paused)
        {
            _misses = received > 1 ? 0 : _misses + 1;
        }

        if (_misses >= MissesAllowed)
        {
            _misses = 0;
            _rest = RestAfterMisses;
        }

        _paused = isBusy && received is > 0 and < DatagramBatch.Capacity && _rest == 0;
        _rest = Math.Max(0, _rest - 1);
        return _paused;
    }
}
