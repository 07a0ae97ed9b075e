using System.Globalization;
using System.Text;
using PoeWatch.Domain.Quantities;
using PoeWatch.Domain.Readings;
using PoeWatch.Monitoring.Polling.Inspection;
using PoeWatch.Snmp;

namespace PoeWatch.Server.Commands;

/// <summary>An inspection as text for a terminal. Pure.</summary>
internal static class InspectionText
{
    public static string Write(InspectionReport report)
    {
        var text = new StringBuilder();
        foreach (var (label, value) in report.Identity)
        {
            Line(text, $"{label,-12} {Words(value)}");
        }

        if (report.Reading.Ports.IsEmpty)
        {
            Line(text, $"No port of POWER-ETHERNET-MIB (RFC 3621). Not a PSE, or these credentials may not see 1.3.6.1.2.1.105.");
            return text.ToString();
        }

        Sources(text, report);
        Groups(text, report);
        Ports(text, report.Reading);
        foreach (ReadingFinding finding in report.Reading.Findings)
        {
            Line(text, $"\n! {finding.Text}");
        }

        if (report.Skeleton is { } skeleton)
        {
            Line(text, $"\nNo draw sheet fits this agent. A skeleton for one (see docs/draw-sheets.md):");
            text.Append(skeleton);
        }

        return text.ToString();
    }

    private static void Sources(StringBuilder text, InspectionReport report)
    {
        Line(text, $"\ndraw sheet   {report.SheetName ?? "none fits"}{(report.OtherSheets.IsEmpty ? "" : "; its columns are also those of " + string.Join(", ", report.OtherSheets))}");
        Line(text, $"sources of watts, best first:");
        foreach (InspectedSource source in report.Sources)
        {
            var mark = source.IsRead ? "read" : source.Passes ? "spare" : source.IsOffered ? "refused" : "absent";
            Line(text, $"  {mark,-8} {source.Name}{(source.IsOffered ? $": {source.Reason} ({source.Column})" : "")}");
        }

        Line(text, $"  {"read",-8} class of the port, as a ceiling, where nothing above says more");
    }

    private static void Groups(StringBuilder text, InspectionReport report)
    {
        Line(text, $"");
        foreach (GroupReading group in report.Reading.Groups)
        {
            Line(text, $"group {group.Group}: budget {group.Budget?.ToString() ?? "not said"}, draw {group.DrawAtPse?.ToString() ?? "not known"} ({group.Provenance.Name()})");
        }

        foreach (var line in report.Units)
        {
            Line(text, $"units, {line}");
        }
    }

    private static void Ports(StringBuilder text, SwitchReading reading)
    {
        Line(text, $"\n{reading.Ports.Length} ports, {reading.Interfaces.Count} of them with a known interface:");
        foreach (PortReading port in reading.Ports)
        {
            var watts = port.DrawAtPse is { } known ? $"{(port.Provenance.IsCeiling() ? "at most " : "")}{known}" : "-";
            var assigned = port.AssignedClass is { } granted ? $"class {(int)granted}" : "-";
            Line(text, $"port {$"{port.Port.Group}/{port.Port.Port}",-8} {port.State.Name(),-12} {assigned,-8} {watts,-18} {port.Provenance.Name()}{Origin(port)}");
            Line(text, $"     {Interface(reading, port.Port)}");
        }
    }

    private static string Origin(PortReading port) => port.Source.Length == 0 ? "" :
        $", {port.Source}{(port.Resolution is { } step && step > Power.Zero ? $", step {step}" : "")}{(port.Age is { TotalSeconds: >= 1 } age ? string.Create(CultureInfo.InvariantCulture, $", {age.TotalSeconds:0} s old") : "")}";

    private static string Interface(SwitchReading reading, PsePortRef port)
    {
        if (!reading.Interfaces.TryGetValue(port, out PortInterface? found))
        {
            return "unmapped: no evidence for one interface";
        }

        var alias = found.Alias.Length > 0 ? $" \"{found.Alias}\"" : "";
        var isUp = found.IsUp switch { true => ", up", false => ", not up", null => "" };
        var neighbours = string.Concat(found.Neighbours.Select(n => $", neighbour {(n.SystemName.Length > 0 ? n.SystemName : n.Chassis)}"));
        return string.Create(
            CultureInfo.InvariantCulture,
            $"{found.Name}{alias} (ifIndex {found.IfIndex}: {found.Evidence}){isUp}{(found.SpeedMbps is { } speed ? $", {speed} Mbit/s" : "")}{(found.Vlan is { } vlan ? $", VLAN {vlan}" : "")}{neighbours}");
    }

    // Up time comes in hundredths of a second.
    private static string Words(SnmpValue value) => value.TryGetText(out var text) ? text
        : value.Type == SnmpType.TimeTicks && value.TryGetInt64(out var ticks) ? $"{TimeSpan.FromMilliseconds(ticks * 10.0):d\\ \\d\\a\\y\\s\\ hh\\:mm\\:ss}"
        : value.TryGetOid(out Oid oid) ? oid.ToString()
        : value.ToString();

    // What an agent says may hold line ends and control characters; a terminal gets neither. A line of ours may begin with an empty one.
    private static void Line(StringBuilder text, FormattableString line)
    {
        var written = line.ToString(CultureInfo.InvariantCulture);
        text.Append(written.StartsWith('\n') ? "\n" : "")
            .Append(string.Concat(written.TrimStart('\n').Select(c => char.IsControl(c) ? ' ' : c)))
            .Append('\n');
    }
}
