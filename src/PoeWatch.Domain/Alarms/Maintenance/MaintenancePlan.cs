using System.Collections.Immutable;
using PoeWatch.Domain.Design;

namespace PoeWatch.Domain.Alarms.Maintenance;

/// <summary>All maintenance windows that are not long over. Immutable.</summary>
public sealed class MaintenancePlan
{
    public static readonly MaintenancePlan Empty = new([]);

    private MaintenancePlan(ImmutableArray<MaintenanceWindow> windows) => Windows = windows;

    /// <summary>By begin, then id.</summary>
    public ImmutableArray<MaintenanceWindow> Windows { get; }

    public static MaintenancePlan Of(IEnumerable<MaintenanceWindow> windows) =>
        new([.. windows.OrderBy(w => w.From).ThenBy(w => w.Id, StringComparer.Ordinal)]);

    public MaintenanceWindow? Find(string id) => Windows.FirstOrDefault(w => w.Id == id);

    /// <summary>This with a window as it now is.</summary>
    public MaintenancePlan With(MaintenanceWindow window) => Of(Windows.Where(w => w.Id != window.Id).Append(window));

    /// <summary>
    /// This with the windows that a design announces and that end later than a moment. Where somebody ended one of them before its time that stands, as long as the design says the same times.
    /// </summary>
    public MaintenancePlan With(DesignModel design, DateTimeOffset since)
    {
        if (design.Maintenance.IsEmpty)
        {
            return this;
        }

        var ofDesign = design.Maintenance.Where(work => work.To > since).Select(Window).ToDictionary(w => w.Id, StringComparer.Ordinal);
        return Of(Windows.Where(w => !ofDesign.ContainsKey(w.Id)).Concat(ofDesign.Values));

        MaintenanceWindow Window(PlannedWork work)
        {
            var written = new MaintenanceWindow(work.Id, work.Scope, work.From, work.To, work.Who, work.Reason, work.From) { IsOfDesign = true };
            return Find(work.Id) is { } kept && kept.From == work.From && kept.To == work.To ? written with { EndedAt = kept.EndedAt, EndedBy = kept.EndedBy } : written;
        }
    }

    /// <summary>For each alarm key the id of the window that covers it now, or empty. Where the design lost the place of a window it covers nothing.</summary>
    public Func<AlarmKey, string> At(DateTimeOffset now, DesignModel design)
    {
        var inForce = Windows.Where(w => w.IsInForce(now))
            .Select(w => (w.Id, Scope: MaintenanceScope.Of(w.Scope, design)))
            .Where(w => w.Scope is not null).ToList();
        return inForce.Count == 0 ? _ => "" : key => inForce.Find(w => w.Scope!.Covers(key.Resource)).Id ?? "";
    }
}
