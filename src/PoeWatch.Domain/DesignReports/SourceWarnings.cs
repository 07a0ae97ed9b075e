using System.Collections.Immutable;
using System.Globalization;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.Poe;
using PoeWatch.Domain.Quantities;
using static PoeWatch.Domain.DesignReports.ReportWarnings;

namespace PoeWatch.Domain.DesignReports;

/// <summary>What the ports, injectors and supplies of a design promise less of than their plates say.</summary>
internal static class SourceWarnings
{
    internal static IEnumerable<ReportWarning> Of(
        DesignModel design, ImmutableArray<ReportCableRun> runs, ImmutableArray<ReportSwitch> switches, DateOnly day, HashSet<(string Code, string Element)> known) =>
    [
        .. Nameplates(design),
        .. Where(
            "unmetered",
            runs.Where(run => run.Source.IsUnmetered).Select(run => run.CableRunId),
            "An unmanaged injector feeds the run: nobody measures its watts, and the switch port before it rightly shows no device.",
            "Hold the run to the design by inspection, or use a managed injector."),
        .. switches.SelectMany(pse => pse.Groups).SelectMany(group => Redundancy(group, known)),
        .. switches.SelectMany(pse => pse.Groups).SelectMany(Priorities),
        .. switches.SelectMany(pse => pse.Groups).SelectMany(group => group.Ports).Where(port => port.UpgradeLimitW is not null).SelectMany(port => Upgrade(port, day)),
    ];

    /// <summary>One warning for each rating: how much of it the standard guarantees where the device is.</summary>
    private static IEnumerable<ReportWarning> Nameplates(DesignModel design) =>
        from run in design.CableRuns.Values
        group run.Id by (run.Source.Limit, run.Source.Type) into rated
        orderby rated.Key.Limit descending
        let granted = PoeTables.HighestGrantable(rated.Key.Limit, rated.Key.Type)
        where granted is not null
        let row = PoeTables.LimitsOf(granted.Value, rated.Key.Type)
        where row.PdMaximumInput < rated.Key.Limit
        from warning in Where("nameplate", rated, Nameplate(rated.Key.Limit, row), "Count on the guaranteed watts at the device, not on those of the plate.")
        select warning;

    private static string Nameplate(Power rating, ClassLimits row) => string.Create(
        CultureInfo.InvariantCulture,
        $"A nameplate of {rating} is {row.PdMaximumInput} guaranteed at the far end of a worst-case channel of 100 m: that is what class {(int)row.PoeClass} gives ({row.Source}).");

    private static IEnumerable<ReportWarning> Redundancy(ReportGroup group, HashSet<(string Code, string Element)> known)
    {
        var feeding = group.Ports.Count(port => port.Feeds is not null);
        if (feeding == 0)
        {
            return [];
        }

        if (group.Supplies.Length <= 1)
        {
            var supplies = group.Supplies.IsEmpty ? "The design names no second supply for the group" : "One supply feeds the group";
            return Where(
                "no-redundancy", [group.GroupId], $"{supplies}: if the supply fails, {ReportWords.Count(feeding, "fed port goes", "fed ports go")} dark together.",
                "Name the supplies in the design, or add a second one.");
        }

        var worst = group.LoadCases.Max(c => c.DemandAtPseW);
        return worst <= group.SuppliesAfterLossW || known.Contains(("supply-loss-not-survived", group.GroupId))
            ? []
            : Where(
                "no-redundancy", [group.GroupId],
                string.Create(CultureInfo.InvariantCulture, $"With the largest supply lost {group.SuppliesAfterLossW:0.##} W are left for a designed demand of {worst:0.##} W: ports would be shed."),
                "Add a supply, or move runs to another group.");
    }

    private static IEnumerable<ReportWarning> Priorities(ReportGroup group) => Where(
        "priority-below-need", group.PriorityConflicts.Select(c => c.Port),
        "When power gets short these ports go dark before ports of the same group that the design calls less critical.",
        "Give a port the criticality of the most critical device behind it, in the design and in the switch.");

    private static IEnumerable<ReportWarning> Upgrade(ReportPort port, DateOnly day) => Where(
        "upgrade-due",
        [port.Port],
        string.Create(CultureInfo.InvariantCulture, $"A better port of {port.UpgradeLimitW:0.##} W is still to come, {Due(port.UpgradeDue, day)}."),
        "Have the port upgraded, then write its new limit and remove 'upgrade'.");

    private static string Due(DateOnly? due, DateOnly day) => due is not { } date
        ? "without a date"
        : string.Create(CultureInfo.InvariantCulture, $"{(date < day ? "overdue since" : "due on")} {date:yyyy-MM-dd}");
}
