using System.Collections.Frozen;
using System.Collections.Immutable;
using PoeWatch.Domain.Alarms;
using PoeWatch.Domain.Notices;

namespace PoeWatch.Monitoring.Notices;

/// <summary>The lanes that the settings make, each with what its role wants. Immutable.</summary>
public sealed class NoticeRoutes
{
    private NoticeRoutes(ImmutableArray<(NoticeLane Lane, RoleRoute Route)> lanes) => Lanes = lanes;

    public ImmutableArray<(NoticeLane Lane, RoleRoute Route)> Lanes { get; }

    /// <summary>Reads the settings of roles. Every problem at once, each with its place, the value and the remedy.</summary>
    /// <param name="problems">Empty where the settings are sound.</param>
    public static NoticeRoutes Of(NoticeOptions options, out ImmutableArray<string> problems)
    {
        var wrong = ImmutableArray.CreateBuilder<string>();
        var lanes = ImmutableArray.CreateBuilder<(NoticeLane, RoleRoute)>();
        foreach (var (name, role) in options.Roles.OrderBy(r => r.Key, StringComparer.Ordinal))
        {
            CheckName(name, $"notices.roles.{name}", wrong);
            var route = RouteOf(name, role, wrong);
            if (role.Channels.Count == 0)
            {
                wrong.Add($"notices.roles.{name}.channels: is empty. Name at least one channel, or remove the role.");
            }

            foreach (var channel in role.Channels.Distinct(StringComparer.Ordinal))
            {
                if (!options.Channels.ContainsKey(channel))
                {
                    wrong.Add($"notices.roles.{name}.channels: there is no channel '{channel}'. Add it under notices.channels, or correct the name.");
                }

                lanes.Add((new NoticeLane(name, channel), route));
            }
        }

        foreach (var name in options.Channels.Keys)
        {
            CheckName(name, $"notices.channels.{name}", wrong);
        }

        problems = wrong.ToImmutable();
        return new NoticeRoutes(lanes.ToImmutable());
    }

    private static RoleRoute RouteOf(string name, NoticeRoleOptions role, ImmutableArray<string>.Builder wrong)
    {
        var place = $"notices.roles.{name}";
        if (role.QuietFrom is null != role.QuietTo is null || (role.QuietFrom is not null && role.QuietFrom == role.QuietTo))
        {
            wrong.Add($"{place}.quietFrom: quiet hours need a begin and another time as end. Write both, such as 22:00 and 06:00, or neither.");
        }

        if (role.DigestPeriod < TimeSpan.FromMinutes(10) || role.DigestPeriod > TimeSpan.FromDays(1))
        {
            wrong.Add($"{place}.digestPeriod: {role.DigestPeriod} is out of bounds. Write 00:10:00 to 1.00:00:00.");
        }

        return new RoleRoute(name)
        {
            LeastSeverity = Severity(role.Severity, $"{place}.severity", wrong),
            Types = role.Types.ToFrozenSet(StringComparer.Ordinal),
            PoleIds = role.Poles.ToFrozenSet(StringComparer.Ordinal),
            Topics = role.Topics.ToFrozenSet(StringComparer.Ordinal),
            TellsOperatorStates = role.OperatorStates,
            Quiet = role is { QuietFrom: { } from, QuietTo: { } to } ? new QuietHours(from, to) : null,
            DigestBelow = role.DigestBelow is null ? AlarmSeverity.Unknown : Severity(role.DigestBelow, $"{place}.digestBelow", wrong),
            DigestPeriod = role.DigestPeriod,
        };
    }

    private static AlarmSeverity Severity(string text, string place, ImmutableArray<string>.Builder wrong)
    {
        AlarmSeverity[] all = [AlarmSeverity.Warning, AlarmSeverity.Minor, AlarmSeverity.Major, AlarmSeverity.Critical];
        if (all.Where(s => NoticeText.SeverityName(s) == text).ToArray() is [var found])
        {
            return found;
        }

        wrong.Add($"{place}: '{text}' is no severity. Write warning, minor, major or critical.");
        return AlarmSeverity.Warning;
    }

    // A lane is stored as role/channel.
    private static void CheckName(string name, string place, ImmutableArray<string>.Builder wrong)
    {
        if (name.Length is 0 or > 64 || !name.All(c => char.IsAsciiLetterOrDigit(c) || c is '-' or '_'))
        {
            wrong.Add($"{place}: '{name}' cannot be a name. Use 1 to 64 letters, digits, '-' and '_'.");
        }
    }
}
