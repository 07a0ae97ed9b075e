using System.Globalization;
using PoeWatch.Domain.Alarms;
using PoeWatch.Domain.Alarms.Maintenance;
using PoeWatch.Domain.Conditions;
using PoeWatch.Domain.Design.Config;
using PoeWatch.Domain.Readings;

namespace PoeWatch.Domain.Design.Validation;

/// <summary>Planned work: its place has to be in the design, its times are those of the clock on the site's wall unless they carry an offset.</summary>
internal static class PlannedWorkBuilder
{
    private const string DefaultWho = "the design";
    private const string Example = "Write the time on the site's clock, such as '2026-12-01 08:00', or with an offset, such as '2026-12-01T08:00:00+01:00'.";
    private static readonly string[] s_forms = ["yyyy-MM-dd HH:mm", "yyyy-MM-dd'T'HH:mm", "yyyy-MM-dd HH:mm:ss", "yyyy-MM-dd'T'HH:mm:ss"];

    // Offsets are digits, or Z: a time without one is local.
    private static readonly string[] s_formsWithOffset = ["yyyy-MM-dd'T'HH:mmK", "yyyy-MM-dd HH:mmK", "yyyy-MM-dd'T'HH:mm:ssK", "yyyy-MM-dd HH:mm:ssK", "yyyy-MM-dd'T'HH:mm:ss.FFFFFFFK"];

    public static void Build(DesignParts parts)
    {
        var ids = new IdRegistry<ElementKind>("maintenance window");
        foreach (var written in parts.Config.Maintenance)
        {
            var id = written.Id?.Value ?? "";
            var values = new ValueReader(parts.Problems, id, written.At);
            var scope = values.Text(written.Scope, "scope", "the place of the work: site, pole/ID, switch/ID, run/ID or port/ID");
            var reason = values.Text(written.Reason, "reason", "why it is done, in some words");
            var isPlace = written.Scope is null || IsPlace(parts, written.Scope, id);
            var from = Time(parts, values, written.From, "from");
            var to = Time(parts, values, written.To, "to");
            if (ids.Take(parts.Problems, written.Id, default, written.At) && isPlace && from is { } begin && to is { } end && IsLengthRight(parts, written.To!, id, end - begin))
            {
                parts.Maintenance.Add(new PlannedWork(id, scope, begin, end, written.Who?.Value ?? DefaultWho, reason));
            }
        }
    }

    private static bool IsLengthRight(DesignParts parts, Written<string> to, string id, TimeSpan length)
    {
        if (length <= TimeSpan.Zero)
        {
            parts.Problems.Error("window-ends-before-it-begins", to, id, "'to' is not later than 'from'.", "Give an end that is later than the begin.");
            return false;
        }

        if (length > MaintenanceWindow.LengthMax)
        {
            parts.Problems.Error(
                "window-too-long", to, id, string.Create(CultureInfo.InvariantCulture, $"The window is longer than {MaintenanceWindow.LengthMax.TotalDays:0} days."),
                "Give an earlier end, write several windows, or take out of the design what is away for longer.");
            return false;
        }

        return true;
    }

    private static bool IsPlace(DesignParts parts, Written<string> scope, string element)
    {
        if (scope.Value == MaintenanceScope.WholeSite)
        {
            return true;
        }

        var slash = scope.Value.IndexOf('/', StringComparison.Ordinal);
        var (prefix, rest) = slash < 0 ? ("", scope.Value) : (scope.Value[..(slash + 1)], scope.Value[(slash + 1)..]);
        switch (prefix)
        {
            case MaintenanceScope.PolePrefix:
                return IsOneOf("pole", parts.Poles.Keys);
            case AlarmResources.SwitchPrefix:
                return IsOneOf("polled switch", parts.Agents.Keys);
            case AlarmResources.RunPrefix:
                return IsOneOf("cable run", parts.Runs.Select(run => run.Id));
            case AlarmResources.PortPrefix when PsePortRef.TryParse(rest, out var port) && parts.Injectors.GetValueOrDefault(port.PseId)?.AgentPort is { } own:
                return IsOneOf("port", [own.ToString()]);
            case AlarmResources.PortPrefix:
                return Terminations.ReadPort(parts, scope with { Value = rest }, element, "scope") is { } found && IsPolled(found);
            default:
                parts.Problems.Error(
                    "unknown-place", scope, element, $"'{scope.Value}' names no place.", "Write site, pole/ID, switch/ID, run/ID (such as run/quay-west:1/7) or port/ID.");
                return false;
        }

        bool IsOneOf(string noun, IEnumerable<string> known)
        {
            // A short form such as quay-west:7 is not taken: alarms are written in the long one.
            List<string> ids = [.. known];
            if (ids.Contains(rest, StringComparer.Ordinal))
            {
                return true;
            }

            parts.Problems.Error("unknown-place", scope, element, $"There is no {noun} '{rest}'.", $"{Suggestion.Hint(rest, ids)}Name a {noun} of this design.");
            return false;
        }

        bool IsPolled(PsePortRef port)
        {
            if (parts.Agents.ContainsKey(port.PseId))
            {
                return true;
            }

            parts.Problems.Error("unknown-place", scope, element, $"Nobody polls '{port.PseId}', so no alarm of its ports comes.", "Name the run or the pole instead.");
            return false;
        }
    }

    private static DateTimeOffset? Time(DesignParts parts, ValueReader values, Written<string>? written, string key)
    {
        if (written is null)
        {
            values.Missing(key, "a time such as '2026-12-01 08:00'");
            return null;
        }

        if (DateTime.TryParseExact(written.Value, s_forms, CultureInfo.InvariantCulture, DateTimeStyles.None, out var local))
        {
            return OnTheWall(parts, written, values.Element, key, local);
        }

        if (DateTimeOffset.TryParseExact(written.Value, s_formsWithOffset, CultureInfo.InvariantCulture, DateTimeStyles.None, out var exact))
        {
            return exact.ToUniversalTime();
        }

        parts.Problems.Error("malformed-time", written, values.Element, $"'{key}' is no time.", Example);
        return null;
    }

    private static DateTimeOffset? OnTheWall(DesignParts parts, Written<string> written, string element, string key, DateTime local)
    {
        var zone = SiteClock.ZoneOf(parts.Site.TimeZoneId);
        if (zone.IsInvalidTime(local) || zone.IsAmbiguousTime(local))
        {
            parts.Problems.Error(
                "malformed-time", written, element, $"The site's clock shows '{key}' {(zone.IsInvalidTime(local) ? "never" : "twice")}: it is set in that hour.",
                "Write the time with an offset, such as '2026-10-25T02:30:00+01:00'.");
            return null;
        }

        return new DateTimeOffset(local, zone.GetUtcOffset(local)).ToUniversalTime();
    }
}
