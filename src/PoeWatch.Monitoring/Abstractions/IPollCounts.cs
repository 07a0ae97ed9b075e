namespace PoeWatch.Monitoring.Abstractions;

/// <summary>What polling counts of single agents since the service started. Thread safe, never blocks for long.</summary>
public interface IPollCounts
{
    /// <summary>Slots of one agent that passed unpolled; 0 where it is not polled.</summary>
    long MissedSlotsOf(string pseId);
}
