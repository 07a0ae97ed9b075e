using PoeWatch.Domain.Alarms;
using PoeWatch.Domain.Readings;

namespace PoeWatch.Monitoring.Abstractions;

/// <summary>The draw history of one site, append only. Implementations are thread safe.</summary>
public interface IHistoryStore
{
    /// <summary>Brings the schema up to date; waits for nothing else. Throws <see cref="StoreException"/> where the store cannot be used.</summary>
    Task PrepareAsync(CancellationToken cancellationToken);

    /// <summary>Appends finished polls, silent ones included. When it returns they are synced to disk: kept. All or nothing; repeating a batch that was written changes nothing.</summary>
    Task AppendAsync(IReadOnlyList<SwitchReading> readings, CancellationToken cancellationToken);

    /// <summary>Readings of one element in [from, to) in time order, streamed. Ports empty where the poll was not answered.</summary>
    IAsyncEnumerable<SwitchReading> ReadAsync(string pseId, DateTimeOffset from, DateTimeOffset to, CancellationToken cancellationToken);

    /// <summary>Newest reading of each element: what a restarted service starts from.</summary>
    Task<IReadOnlyList<SwitchReading>> ReadLatestAsync(CancellationToken cancellationToken);
}

/// <summary>Alarms and their changes, so that a restart neither repeats nor loses one. Implementations are thread safe.</summary>
public interface IAlarmStore
{
    /// <summary>Every alarm that is not purged.</summary>
    Task<IReadOnlyList<Alarm>> LoadAlarmsAsync(CancellationToken cancellationToken);

    /// <summary>Writes alarms as they now are and appends the changes that led there, in one transaction.</summary>
    Task SaveAlarmsAsync(IReadOnlyList<Alarm> alarms, IReadOnlyList<AlarmChange> changes, CancellationToken cancellationToken);

    /// <summary>Takes cleared alarms out of the list and appends the changes that say so, in one transaction; earlier changes stay.</summary>
    Task PurgeAlarmsAsync(IReadOnlyList<AlarmChange> purged, CancellationToken cancellationToken);

    /// <summary>Changes in [from, to) in time order; of one key where given.</summary>
    Task<IReadOnlyList<AlarmChange>> ReadAlarmChangesAsync(DateTimeOffset from, DateTimeOffset to, AlarmKey? key, CancellationToken cancellationToken);
}

/// <summary>One version of the design with its time in force.</summary>
/// <param name="Hash">SHA-256 of the text, lower-case hex.</param>
/// <param name="Text">The design as written (main file and CSV files, as the loader joined them).</param>
/// <param name="InForceFrom">UTC.</param>
/// <param name="AppliedBy">Who applied it; "start" where the service loaded it itself.</param>
public sealed record DesignVersion(string Hash, string Text, DateTimeOffset InForceFrom, string AppliedBy);

/// <summary>Which design was in force when. Implementations are thread safe.</summary>
public interface IDesignStore
{
    /// <summary>Notes that a design came into force; does nothing where the newest version has that hash already.</summary>
    Task SaveDesignAsync(DesignVersion version, CancellationToken cancellationToken);

    /// <summary>All versions, oldest first.</summary>
    Task<IReadOnlyList<DesignVersion>> ReadDesignsAsync(CancellationToken cancellationToken);
}

/// <summary>The store could not do what was asked.</summary>
public sealed class StoreException : Exception
{
    public StoreException()
    {
    }

    public StoreException(string message)
        : base(message)
    {
    }

    public StoreException(string message, Exception inner)
        : base(message, inner)
    {
    }

    public StoreException(string message, bool isTransient, Exception inner)
        : base(message, inner) => IsTransient = isTransient;

    /// <summary>True where a retry can help (server down, disk full, timeout), false where it cannot (corrupt file, wrong schema).</summary>
    public bool IsTransient { get; }
}
