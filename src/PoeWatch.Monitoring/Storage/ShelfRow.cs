using PoeWatch.Domain.Alarms;

namespace PoeWatch.Monitoring.Storage;

/// <summary>How a shelf stands in the columns of an alarm, alike in all stores. Pure.</summary>
public static class ShelfRow
{
    /// <param name="operatorState">Number of the operator state.</param>
    /// <param name="until">UTC; null where no end is written.</param>
    /// <param name="accepted">Number of a severity; null where the alarm is shelved only.</param>
    public static AlarmShelf? Of(int operatorState, DateTimeOffset? until, int? accepted) =>
        operatorState == (int)OperatorState.Shelved && (until is not null || accepted is not null)
            ? new AlarmShelf(until, (AlarmSeverity?)accepted)
            : null;
}
