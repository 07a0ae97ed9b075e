namespace PoeWatch.Domain.Readings.Changes;

/// <summary>How far a Counter32 (RFC 2578 section 7.1.6) went between two readings of one life of an agent. Pure.</summary>
public static class CounterSteps
{
    /// <summary>Steps from one reading to the next; it may have gone round once: from 4294967290 to 5 are 11.</summary>
    public static uint Between(uint before, uint now) => unchecked(now - before);

    /// <summary>The same, or null where it would have had to count faster than it can: then it was reset, or went round more than once.</summary>
    /// <param name="over">Time between the readings, more than zero; else null.</param>
    /// <param name="perSecondMax">The fastest that it counts.</param>
    public static uint? Between(uint before, uint now, TimeSpan over, double perSecondMax)
    {
        // Within this time it can go round, so a difference says nothing.
        if (over <= TimeSpan.Zero || over.TotalSeconds * perSecondMax > uint.MaxValue)
        {
            return null;
        }

        var steps = Between(before, now);
        return steps <= over.TotalSeconds * perSecondMax ? steps : null;
    }
}
