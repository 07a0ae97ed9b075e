using PoeWatch.Domain.Alarms.Maintenance;

namespace PoeWatch.Monitoring.Abstractions;

/// <summary>Maintenance windows, so that a restart forgets none. Implementations are thread safe.</summary>
public interface IMaintenanceStore
{
    /// <summary>Writes a window as it now is; synced when it returns.</summary>
    Task SaveWindowAsync(MaintenanceWindow window, CancellationToken cancellationToken);

    /// <summary>Windows that end at or after a moment, by begin and id.</summary>
    Task<IReadOnlyList<MaintenanceWindow>> ReadWindowsAsync(DateTimeOffset endingFrom, CancellationToken cancellationToken);
}

/// <summary>Announcing work. Kept in the store before it counts; throws <see cref="StoreException"/> where it could not be kept.</summary>
public interface IMaintenanceDesk
{
    /// <summary>Announces work; the window is in the view when it returns.</summary>
    /// <returns>Null where the design in force has no such scope.</returns>
    Task<MaintenanceWindow?> AnnounceAsync(string scope, DateTimeOffset from, DateTimeOffset to, string who, string reason, CancellationToken cancellationToken);

    /// <summary>Ends a window before its time, or takes back one to come; null where there is none that is not over.</summary>
    Task<MaintenanceWindow?> EndAsync(string id, string who, CancellationToken cancellationToken);
}
