using static PoeWatch.Domain.DesignReports.Pages.HtmlTable;
using static PoeWatch.Domain.DesignReports.ReportWords;

namespace PoeWatch.Domain.DesignReports.Pages;

/// <summary>The sheet of one switch.</summary>
internal static class SwitchPage
{
    internal static Html Of(ReportSwitch pse, SourceMarks sources) => Html.Of($"""
        <section class="sheet">
        <h2>Switch {pse.SwitchId}{(pse.Name == pse.SwitchId ? "" : $": {pse.Name}")}{(pse.PoleName is { } pole ? $", at {pole}" : "")}</h2>
        {(pse.Groups.Length > 1 ? HtmlTable.Of("All groups together, to be expected", ["Load case", "#Demand at the PSE W"],
            pse.LoadCases.Select(c => (Html[])[Marked(c.Name, c.LoadCaseId == pse.WorstLoadCaseId, "worst"), Cell(Watts(c.DemandW))])) : default)}
        {Html.Join(pse.Groups.Select(group => Group(group, sources)))}</section>

        """);

    private static Html Group(ReportGroup group, SourceMarks sources) => Html.Of($"""
        <h3>Group {group.GroupNumber}</h3>
        <dl>
        <dt>Budget</dt><dd>{Watts(group.BudgetW)} W, guard band {Watts(group.GuardBandW)} W, usable {Watts(group.UsableW)} W</dd>
        <dt>Allocation</dt><dd>{group.Allocation}</dd>
        </dl>
        <p>{Supplies(group)}</p>
        {HtmlTable.Of("Designed demand, to be expected", ["Load case", "#Demand at the PSE W", "#Left W"],
            group.LoadCases.Select(c => (Html[])[Marked(c.Name, c.LoadCaseId == group.WorstLoadCaseId, "worst"), Cell(Watts(c.DemandAtPseW)), Cell(Watts(c.MarginW))]))}
        {HtmlTable.Of("What each allocation policy would set aside", ["Policy", "#Set aside at the PSE W", "#Left W"],
            group.Reserves.Select(r => (Html[])[Marked(r.Allocation, r.IsInForce, "in force"), Cell(Watts(r.ReserveAtPseW)), Cell(Watts(r.MarginW))]))}
        {Html.Join(group.ColdStarts.Select(start => Html.Of($"<p>{Starts(group, start)}</p>\n")))}
        {Html.Join(group.PriorityConflicts.Select(conflict => Html.Of($"<p><b>{Conflict(conflict)}</b></p>\n")))}
        {CableRunPage.Limits("Limits, the tightest first", group.Limits, sources)}
        {Ports(group)}

        """);

    /// <summary>With a column for better ports that are to come only where one is.</summary>
    private static Html Ports(ReportGroup group)
    {
        string[] columns = ["Port", "#Limit W", "Type", "Grants", "Priority", "Needs", "Feeds", "#Demand W", "#Set aside W"];
        var isUpgraded = group.Ports.Any(port => port.UpgradeLimitW is not null);
        return HtmlTable.Of(
            PortsTable, isUpgraded ? [.. columns, "Upgrade to come"] : columns, group.Ports.Select(port => isUpgraded ? [.. Port(port), Upgrade(port)] : Port(port)));
    }

    private static Html[] Port(ReportPort port) =>
    [
        Cell(port.Port), Cell(Plain(port.LimitW)), Cell(port.PoeType), Cell(port.GrantableClass), Cell(port.Priority), Cell(port.Feeds is null ? "" : port.Criticality),
        Cell(port.Feeds ?? "nothing designed"), Cell(port.Feeds is null ? "" : Watts(port.WorstDemandAtPseW)), Cell(port.Feeds is null ? "" : Watts(port.ReserveAtPseW)),
    ];

    private static Html Upgrade(ReportPort port) =>
        Cell(port.UpgradeLimitW is { } limit ? $"{Plain(limit)} W{(port.UpgradeDue is { } due ? $", due {due:yyyy-MM-dd}" : "")}" : "");
}
