using System.Collections.Immutable;
using PoeWatch.Domain.Budgets;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.Quantities;

namespace PoeWatch.Domain.DesignReports;

/// <summary>How long each UPS lasts in the load case that asks most of it.</summary>
internal static class UpsSheet
{
    internal static ImmutableArray<ReportUps> Of(DesignModel design, ImmutableArray<ReportSwitch> switches, ImmutableArray<LoadCase> cases) =>
        [.. design.UpsUnits.Values.Select(ups => Of(design, ups, switches, cases))];

    private static ReportUps Of(DesignModel design, Ups ups, ImmutableArray<ReportSwitch> switches, ImmutableArray<LoadCase> cases)
    {
        ImmutableArray<(PseGroup Designed, ReportGroup Sheet)> behind =
        [
            .. from id in ups.SwitchIds
               from sheet in switches.Single(pse => pse.SwitchId == id).Groups
               select (design.Switches[id].Groups[sheet.GroupNumber], sheet),
        ];
        var (worst, load) = cases
            .Select((loadCase, at) => (loadCase, Load: UpsLoad.Of(ups, behind.Select(g => (g.Designed, Power.FromWatts(g.Sheet.LoadCases[at].DemandAtPseW))))))
            .MaxBy(pair => pair.Load);
        return new ReportUps(
            ups.Id, ups.Name, ups.SwitchIds, ups.UsableWattHours, worst.Id, worst.Name, load.Watts, UpsLoad.Runtime(ups, load)?.TotalSeconds, ups.WantedRuntime?.TotalSeconds);
    }
}
