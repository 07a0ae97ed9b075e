using System.Globalization;
using static PoeWatch.Domain.DesignReports.ReportWords;

namespace PoeWatch.Domain.DesignReports.Texts;

/// <summary>The sheet of one switch as text.</summary>
internal static class SwitchText
{
    private static readonly TextColumn[] s_cases = [new("Load case", 60), new("Demand at PSE W", 16, true), new("Left W", 12, true)];

    private static readonly TextColumn[] s_all = [new("Load case, all groups", 60), new("Demand at PSE W", 16, true)];

    private static readonly TextColumn[] s_reserves = [new("Allocation", 60), new("Set aside W", 16, true), new("Left W", 12, true)];

    private static readonly TextColumn[] s_ports =
        [new("Port", 16), new("Limit W", 7, true), new("Type", 6), new("Grants", 7), new("Priority", 8), new("Needs", 8), new("Feeds", 17), new("Demand W", 8, true), new("Aside W", 7, true)];

    internal static string Of(ReportSwitch pse, SourceMarks sources)
    {
        var sheet = new TextSheet().Heading($"SWITCH {pse.SwitchId}{(pse.Name == pse.SwitchId ? "" : $"  {pse.Name}")}{(pse.PoleName is { } pole ? $", at {pole}" : "")}", '=');
        if (pse.Groups.Length > 1)
        {
            sheet.Table(s_all, pse.LoadCases.Select(c => new[] { $"{c.Name}{(c.LoadCaseId == pse.WorstLoadCaseId ? " (worst)" : "")}", Watts(c.DemandW) })).Gap();
        }

        foreach (var group in pse.Groups)
        {
            Group(sheet, group, sources);
        }

        return sheet.ToString();
    }

    private static void Group(TextSheet sheet, ReportGroup group, SourceMarks sources)
    {
        sheet.Paragraph($"Group {group.GroupNumber.ToString(CultureInfo.InvariantCulture)}: budget {Watts(group.BudgetW)} W, guard band {Watts(group.GuardBandW)} W, usable {Watts(group.UsableW)} W, allocated {group.Allocation}")
            .Paragraph(Supplies(group))
            .Gap()
            .Table(s_cases, group.LoadCases.Select(c => new[] { $"{c.Name}{(c.LoadCaseId == group.WorstLoadCaseId ? " (worst)" : "")}", Watts(c.DemandAtPseW), Watts(c.MarginW) }))
            .Gap()
            .Table(s_reserves, group.Reserves.Select(r => new[] { $"{r.Allocation}{(r.IsInForce ? " (in force)" : "")}", Watts(r.ReserveAtPseW), Watts(r.MarginW) }))
            .Gap();
        foreach (var limit in group.Limits)
        {
            sheet.Paragraph($"{limit.Sentence} [{sources.Of(limit)}]", 9, $"{(limit.IsBroken ? Taken(limit).ToUpperInvariant() : Taken(limit)),8} ");
        }

        sheet.Gap();
        foreach (var start in group.ColdStarts)
        {
            sheet.Paragraph(Starts(group, start));
        }

        foreach (var conflict in group.PriorityConflicts)
        {
            sheet.Paragraph(Conflict(conflict), 2, "! ");
        }

        sheet.Gap().Paragraph(PortsTable).Table(s_ports, group.Ports.Select(p => new[]
        {
            p.Port, Plain(p.LimitW), p.PoeType, p.GrantableClass, p.Priority, p.Feeds is null ? "" : p.Criticality, p.Feeds ?? "nothing designed",
            p.Feeds is null ? "" : Watts(p.WorstDemandAtPseW), p.Feeds is null ? "" : Watts(p.ReserveAtPseW),
        }));
    }
}
