using PoeWatch.Domain.Readings.Changes;

namespace PoeWatch.Monitoring.Polling.DrawSources;

/// <summary>
/// Mean watts between two readings of a Counter32 of millijoules. Keeps the last reading of each port; used by one poll at a time.
/// </summary>
internal sealed class EnergySteps
{
    // IEEE 802.3-2022 Table 145-16: no port gives more than 99.9 W.
    private const double WattsMax = 100;

    private readonly Dictionary<int, (uint Millijoules, TimeSpan UpTime)> _last = [];

    public void Forget() => _last.Clear();

    /// <summary>
    /// The mean since the last reading; null at the first, across a restart of the agent, where time stood still, and where the counter may have
    /// gone round more than once.
    /// </summary>
    public (double Watts, TimeSpan Over)? Next(int slot, uint millijoules, TimeSpan upTime)
    {
        var known = _last.TryGetValue(slot, out var last);
        _last[slot] = (millijoules, upTime);
        TimeSpan over = upTime - last.UpTime;

        // Counter32 goes round after 4294967 J: at 100 W in some 12 hours.
        if (!known || over <= TimeSpan.Zero || over.TotalSeconds * WattsMax * 1000 > uint.MaxValue)
        {
            return null;
        }

        var watts = CounterSteps.Between(last.Millijoules, millijoules) / over.TotalMilliseconds;
        return watts <= WattsMax ? (watts, over) : null;
    }
}
