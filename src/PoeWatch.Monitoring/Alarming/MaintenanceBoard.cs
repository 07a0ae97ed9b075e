using System.Globalization;
using PoeWatch.Domain.Alarms.Maintenance;
using PoeWatch.Domain.Design;
using PoeWatch.Monitoring.Abstractions;
using PoeWatch.Monitoring.Ingestion;

namespace PoeWatch.Monitoring.Alarming;

/// <summary>The maintenance windows together with their store. Owned by the site monitor's loop.</summary>
public sealed class MaintenanceBoard(IMaintenanceStore store, StoreGate gate, TimeProvider time)
{
    // Windows that are over are shown for so long; the store keeps them for good.
    private static readonly TimeSpan Shown = TimeSpan.FromDays(30);

    // Somebody waits for it, so it is not left to the store's own patience.
    private static readonly TimeSpan SaveTimeMax = TimeSpan.FromSeconds(5);

    private bool _isRestored;

    /// <summary>What is announced, in force or over since less than a month.</summary>
    public MaintenancePlan Plan { get; private set; } = MaintenancePlan.Empty;

    /// <summary>The same with what a design announces.</summary>
    public MaintenancePlan PlanWith(DesignModel design) => Plan.With(design, time.GetUtcNow() - Shown);

    /// <summary>Reads the windows of a former life, once; true where they are known.</summary>
    public async Task<bool> RestoreOnceAsync(CancellationToken cancellationToken)
    {
        if (!_isRestored && gate.IsReady)
        {
            try
            {
                Plan = MaintenancePlan.Of(await store.ReadWindowsAsync(time.GetUtcNow() - Shown, cancellationToken).ConfigureAwait(false));
                _isRestored = true;
            }
            catch (StoreException)
            {
                // Tried again at the next step; the alarms, which wait for it, tell that the store is away.
            }
        }

        return _isRestored;
    }

    /// <summary>Announces work; null where the design has no such place.</summary>
    /// <exception cref="StoreException">It could not be kept, so it does not count.</exception>
    public async Task<MaintenanceWindow?> AnnounceAsync(
        DesignModel design, string scope, DateTimeOffset from, DateTimeOffset to, string who, string reason, CancellationToken cancellationToken)
    {
        if (MaintenanceScope.Of(scope, design) is null)
        {
            return null;
        }

        DateTimeOffset now = time.GetUtcNow();
        var stem = "mw-" + now.UtcDateTime.ToString("yyyyMMdd-HHmmss", CultureInfo.InvariantCulture);
        var id = stem;
        MaintenancePlan known = PlanWith(design);
        for (var n = 2; known.Find(id) is not null; n++)
        {
            id = string.Create(CultureInfo.InvariantCulture, $"{stem}-{n}");
        }

        return await KeepAsync(new MaintenanceWindow(id, scope, from, to, who, reason, now), cancellationToken).ConfigureAwait(false);
    }

    /// <summary>Ends a window; null where there is none that is not over.</summary>
    /// <exception cref="StoreException">It could not be kept, so it does not count.</exception>
    public async Task<MaintenanceWindow?> EndAsync(DesignModel design, string id, string who, CancellationToken cancellationToken)
    {
        DateTimeOffset now = time.GetUtcNow();
        return PlanWith(design).Find(id) is { } window && !window.IsOver(now)
            ? await KeepAsync(window with { EndedAt = now, EndedBy = who }, cancellationToken).ConfigureAwait(false)
            : null;
    }

    private async Task<MaintenanceWindow> KeepAsync(MaintenanceWindow window, CancellationToken cancellationToken)
    {
        if (!_isRestored)
        {
            const string NotRead = "The maintenance windows of the last run are not read yet.";
            throw new StoreException(NotRead, isTransient: true, new InvalidOperationException(NotRead));
        }

        using var limit = CancellationTokenSource.CreateLinkedTokenSource(cancellationToken);
        using ITimer timer = time.CreateTimer(_ => limit.Cancel(), null, SaveTimeMax, Timeout.InfiniteTimeSpan);
        try
        {
            await store.SaveWindowAsync(window, limit.Token).ConfigureAwait(false);
        }
        catch (OperationCanceledException late) when (!cancellationToken.IsCancellationRequested)
        {
            throw new StoreException("The store did not answer in time.", isTransient: true, late);
        }

        Plan = Plan.With(window);
        return window;
    }
}
