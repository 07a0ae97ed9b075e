namespace PoeWatch.Monitoring.Abstractions;

/// <summary>What keeps the history small. Appending and reading go on meanwhile. Implementations are thread safe; one caller at a time.</summary>
public interface IHistoryUpkeep
{
    /// <summary>Packs of each element the oldest hour that is not packed and ended by <paramref name="before"/>. No reading changes by it.</summary>
    /// <returns>How many hours were packed; 0 where none is left.</returns>
    Task<int> PackAsync(DateTimeOffset before, CancellationToken cancellationToken);

    /// <summary>
    /// Deletes raw readings of hours that ended by <paramref name="before"/>, in small steps. Nothing from then on goes; what is older may stay for a while (in
    /// PostgreSQL until its month is over). Packed and unpacked readings alike.
    /// </summary>
    Task DropRawAsync(DateTimeOffset before, CancellationToken cancellationToken);

    /// <summary>Makes room for the time until <paramref name="until"/> ahead, where the store has to.</summary>
    Task PrepareUntilAsync(DateTimeOffset from, DateTimeOffset until, CancellationToken cancellationToken);
}

/// <summary>Who still needs raw readings: nothing is deleted that one of them holds. Implementations are thread safe.</summary>
public interface IRetentionGuard
{
    /// <summary>The earliest time whose raw readings have to stay (not yet rolled up, not yet sealed); null where it needs none.</summary>
    Task<DateTimeOffset?> EarliestNeededAsync(CancellationToken cancellationToken);
}
