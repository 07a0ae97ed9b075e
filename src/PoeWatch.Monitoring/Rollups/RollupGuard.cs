using PoeWatch.Monitoring.Abstractions;

namespace PoeWatch.Monitoring.Rollups;

/// <summary>Holds the readings of days that are not rolled up yet, and of days that late readings came for. Thread safe.</summary>
public sealed class RollupGuard(IRollupStore store) : IRetentionGuard
{
    // A day is made with what was read shortly before it, and a late hour belongs to a day that began up to 25 hours earlier.
    private static readonly TimeSpan Margin = TimeSpan.FromHours(1);

    public async Task<DateTimeOffset?> EarliestNeededAsync(CancellationToken cancellationToken)
    {
        RollupFrontier frontier = await store.ReadRollupFrontierAsync(cancellationToken).ConfigureAwait(false);
        if (frontier.Days is not { } days)
        {
            // Nothing is rolled up yet, so everything is needed.
            return DateTimeOffset.UnixEpoch;
        }

        IReadOnlyList<LateHour> late = await store.ReadLateHoursAsync(cancellationToken).ConfigureAwait(false);
        DateTimeOffset earliest = late.Count > 0 && late[0].Hour - IRollupStore.BlockMax < days ? late[0].Hour - IRollupStore.BlockMax : days;
        return earliest - Margin;
    }
}
