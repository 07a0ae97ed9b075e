using System.Collections.Immutable;
using System.Globalization;
using System.Text;

namespace PoeWatch.DesignFiles.Drafts;

/// <summary>A draft as a design file, each guess with a comment. Pure.</summary>
public static class DraftText
{
    // 100 m is the most that a channel may be, so no cable that is drafted loses less than the real one.
    private const int CableLengthM = 100;
    private const int TextLengthMax = 200;

    /// <param name="heading">Lines that say where it came from.</param>
    public static string Write(DesignDraft draft, IEnumerable<string> heading)
    {
        ArgumentNullException.ThrowIfNull(draft);
        ArgumentNullException.ThrowIfNull(heading);
        var text = new StringBuilder();
        foreach (var line in heading)
        {
            Line(text, "", line);
        }

        Line(text, "format: poewatch-design/1", "");
        Line(text, "site: {name: Drafted site}", "fill in: name, time-zone, coordinates");
        Switches(text, draft);
        List(text, "poles", draft.Poles, pole => ($"{{id: {pole.Id}, name: {Quoted(pole.Name)}}}", pole.Remark));
        List(text, "device-types", draft.Types, type => (Text($"{{id: {type.Id}, class: {(int)type.PoeClass}, demand-w: {type.DemandW:0.##}}}"), type.Remark));
        List(text, "devices", draft.Devices, device => (
            $"{{id: {device.Id}{Key("name", device.Name)}, type: {device.Type}, pole: {device.Pole}{Key("lldp-name", device.LldpName)}}}", device.Remark));
        Line(text, "", draft.Devices.IsEmpty ? "" : "No agent knows a cable. The longest allowed, of the thinnest usual wire (24 AWG, the default), is the safe reading.");
        List(text, "cables", draft.Devices, device => (
            Text($"{{from: {Quoted(device.From)}, to: {device.Id}, length-m: {CableLengthM}}}"), "fill in: length and cable"));
        return text.ToString();
    }

    /// <summary>A text in double quotes, or plain where nothing can be mistaken in it.</summary>
    public static string Quoted(string value)
    {
        value = Clean(value);
        if (value.Length > 0 && char.IsAsciiLetter(value[0]) && value.All(c => char.IsAsciiLetterOrDigit(c) || c is '-' or '_' or '.' or '/'))
        {
            return value;
        }

        var quoted = new StringBuilder("\"");
        foreach (Rune rune in value.EnumerateRunes())
        {
            _ = rune.Value switch
            {
                '"' => quoted.Append("\\\""),
                '\\' => quoted.Append(@"\\"),
                _ => quoted.Append(rune),
            };
        }

        return quoted.Append('"').ToString();
    }

    private static void Switches(StringBuilder text, DesignDraft draft)
    {
        Line(text, draft.Switches.IsEmpty ? "switches: []" : "switches:", "");
        foreach (DraftedSwitch drafted in draft.Switches)
        {
            Line(text, $"  - id: {drafted.Id}", drafted.Remark);
            Line(text, Clean(drafted.Name).Length > 0 ? $"    name: {Quoted(drafted.Name)}" : "", "");
            Line(text, $"    address: {Quoted(drafted.Address)}", "");
            Line(text, $"    credentials: {Quoted(drafted.Credentials)}", "");
            if (drafted.Uplink is { } uplink)
            {
                Line(text, Text($"    uplink: {{switch: {uplink.Switch}, medium: {uplink.Medium}, length-m: {uplink.LengthM}}}"), uplink.Remark);
            }

            List(text, "    groups", drafted.Groups, group => (Text($"{{group: {group.Group}, port-count: {group.PortCount}, budget-w: {group.BudgetW}}}"), group.Remark));
            List(text, "    ports", drafted.Ports, port => (
                Text($"{{port: {port.Text}{(port.PoeClass is { } granted ? $", class: {(int)granted}" : "")}{(port.Vlan is { } vlan ? $", vlan: {vlan}" : "")}{(port.Criticality is { } level ? $", criticality: {level}" : "")}}}"), port.Remark));
        }

        foreach (DraftedAbsence absence in draft.Absences)
        {
            Line(text, "", $"  missing: {absence.Address} {absence.Reason}");
            Line(text, "", $"  - {{id: {absence.Id}, address: {Quoted(absence.Address)}, credentials: {Quoted(absence.Credentials)}, groups: [{{budget-w: FILL-IN}}]}}");
        }
    }

    private static void List<T>(StringBuilder text, string key, ImmutableArray<T> entries, Func<T, (string Entry, string Remark)> write)
    {
        if (entries.IsEmpty)
        {
            return;
        }

        Line(text, key + ":", "");
        var indent = new string(' ', key.Length - key.TrimStart().Length + 2);
        foreach (T entry in entries)
        {
            var (written, remark) = write(entry);
            Line(text, $"{indent}- {written}", remark);
        }
    }

    /// <summary>A text without what cannot be printed and without blanks at its ends, at most 200 characters.</summary>
    public static string Clean(string value)
    {
        ArgumentNullException.ThrowIfNull(value);
        var clean = string.Concat(value.EnumerateRunes().Take(TextLengthMax).Select(rune => IsPrintable(rune) ? rune.ToString() : " "));
        return clean.Trim();
    }

    private static string Key(string key, string value) => Clean(value).Length > 0 ? $", {key}: {Quoted(value)}" : "";

    private static string Text(FormattableString text) => text.ToString(CultureInfo.InvariantCulture);

    // What an agent says must not end a comment and begin a line of the design.
    private static void Line(StringBuilder text, string line, string comment)
    {
        if (line.Length == 0 && comment.Length == 0)
        {
            return;
        }

        text.Append(line);
        if (comment.Length > 0)
        {
            text.Append(line.Length > 0 ? "  # " : "# ");
            text.Append(string.Concat(comment.EnumerateRunes().Select(rune => IsPrintable(rune) ? rune.ToString() : " ")));
        }

        text.Append('\n');
    }

    // Line and paragraph separators end a line in YAML too; what no text should hold becomes a blank.
    private static bool IsPrintable(Rune rune) => Rune.GetUnicodeCategory(rune) is not (UnicodeCategory.Control or UnicodeCategory.LineSeparator
        or UnicodeCategory.ParagraphSeparator or UnicodeCategory.Format or UnicodeCategory.Surrogate or UnicodeCategory.OtherNotAssigned or UnicodeCategory.PrivateUse);
}
