using System.Collections.Immutable;
using PoeWatch.Domain.Design.Config;
using PoeWatch.Domain.Readings;

namespace PoeWatch.Domain.Design.Validation;

/// <summary>Port schedules, and the uplinks between switches: what needs every switch to be known.</summary>
internal static class ScheduleBuilder
{
    public static void Build(DesignParts parts)
    {
        var ids = new IdRegistry<ElementKind>("port schedule");
        foreach (var written in parts.Config.PortSchedules)
        {
            var id = written.Id?.Value ?? "";
            var values = new ValueReader(parts.Problems, id, written.At);
            values.Text(written.Off, "off", "the hours without power, for example '23:00-05:00'");
            var off = written.Off is null ? default : DailyWindows.Read(parts.Problems, written.Off, id, "off");
            if (written.Ports.IsEmpty)
            {
                values.Missing("ports", "at least one port such as quay-west:1/7");
            }

            var ports = written.Ports.Select(p => Terminations.ReadPort(parts, p, id, "ports")).OfType<PsePortRef>().ToImmutableSortedSet();
            if (ids.Take(parts.Problems, written.Id, default, written.At))
            {
                parts.Schedules.Add(new PortSchedule(id, ports, off));
            }
        }
    }

    public static void CheckUplinks(DesignParts parts)
    {
        foreach (var written in parts.Config.Switches)
        {
            if (written is not { Id: { } id, Uplink.Switch: { } near })
            {
                continue;
            }

            if (!parts.Switches.ContainsKey(near.Value))
            {
                parts.Problems.Error(
                    "unknown-switch", near, id.Value, $"There is no switch '{near.Value}'.",
                    $"{Suggestion.Hint(near.Value, parts.Switches.Keys)}Name the switch at the near end of the uplink.");
            }
            else if (near.Value == id.Value)
            {
                parts.Problems.Error(
                    "uplink-loop", near, id.Value, $"The uplink of '{id.Value}' leads to itself.", "Name the switch at the near end of the uplink.");
            }
            else if (LeadsBack(parts, id.Value, near.Value))
            {
                parts.Problems.Error(
                    "uplink-loop", near, id.Value, $"The uplink of '{id.Value}' leads over '{near.Value}' back to '{id.Value}'.",
                    "Let uplinks lead towards the core: remove 'uplink' from the switch nearest to it.");
            }
        }
    }

    private static bool LeadsBack(DesignParts parts, string start, string next)
    {
        for (var hops = 0; hops < parts.Switches.Count; hops++)
        {
            if (next == start)
            {
                return true;
            }

            if (parts.Switches.GetValueOrDefault(next)?.Uplink is not { } uplink)
            {
                return false;
            }

            next = uplink.SwitchId;
        }

        return false;
    }
}
