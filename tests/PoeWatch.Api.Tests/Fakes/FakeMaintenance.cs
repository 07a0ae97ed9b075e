using PoeWatch.Domain.Alarms.Maintenance;
using PoeWatch.Monitoring.Abstractions;

namespace PoeWatch.Api.Tests.Fakes;

/// <summary>Takes windows for places of the view's design and shows them.</summary>
internal sealed class FakeMaintenance(FakeSite site, TimeProvider time) : IMaintenanceDesk
{
    private MaintenancePlan _plan = MaintenancePlan.Empty;

    public Task<MaintenanceWindow?> AnnounceAsync(
        string scope, DateTimeOffset from, DateTimeOffset to, string who, string reason, CancellationToken cancellationToken)
    {
        if (MaintenanceScope.Of(scope, site.Current.Design) is null)
        {
            return Task.FromResult<MaintenanceWindow?>(null);
        }

        return Task.FromResult<MaintenanceWindow?>(Show(new MaintenanceWindow("mw-1", scope, from, to, who, reason, time.GetUtcNow())));
    }

    public Task<MaintenanceWindow?> EndAsync(string id, string who, CancellationToken cancellationToken)
    {
        var window = _plan.Find(id);
        return Task.FromResult(window is null || window.IsOver(time.GetUtcNow()) ? null : Show(window with { EndedAt = time.GetUtcNow(), EndedBy = who }));
    }

    private MaintenanceWindow Show(MaintenanceWindow window)
    {
        _plan = _plan.With(window);
        site.Show(site.Current with { Version = site.Current.Version + 1, Maintenance = _plan.Windows });
        return window;
    }
}
