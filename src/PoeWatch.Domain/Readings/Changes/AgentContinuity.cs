using System.Collections.Immutable;
using System.Globalization;

namespace PoeWatch.Domain.Readings.Changes;

/// <summary>
/// Whether two polls met the same life of the same switch. A restart shows by snmpEngineBoots, else by sysUpTime that is shorter than it should be and
/// did not go round. Pure.
/// </summary>
public static class AgentContinuity
{
    // TimeTicks are hundredths of a second in 32 bits: some 497 days (RFC 2578 section 7.1.8).
    private static readonly TimeSpan s_roundOfTicks = TimeSpan.FromMilliseconds(10.0 * (1L << 32));

    // Answers come some seconds sooner or later, and clocks of agents go wrong by less than this: common practice, no source.
    private static readonly TimeSpan s_slackMin = TimeSpan.FromSeconds(10);
    private const double SlackShare = 0.1;

    /// <summary>What changed; empty where nothing did. Where the switch was replaced nothing else is said.</summary>
    public static ImmutableArray<AgentChange> Between(AgentPulse before, AgentPulse now)
    {
        // Some agents draw a new engine id at each start (Net-SNMP where it cannot keep it): the same machine that ran on is no other switch.
        AgentIdentity was = RanOn(before, now) == true ? before.Identity with { EngineId = string.Empty } : before.Identity;
        if (Replaced(was, now.Identity) is { } replaced)
        {
            return [replaced];
        }

        return (Restarted(before, now), Regrouped(before.Groups, now.Groups)) switch
        {
            (null, null) => [],
            ({ } restarted, { } regrouped) => [restarted, regrouped],
            var (restarted, regrouped) => [restarted ?? regrouped!],
        };
    }

    /// <summary>Set where the two identities are of different switches. The serial number decides where both have one: an engine id can be set anew.</summary>
    public static AgentChange? Replaced(AgentIdentity before, AgentIdentity now)
    {
        var (what, was, isNow) =
            Differs(before.Serial, now.Serial) ? ("serial number", before.Serial, now.Serial)
            : before.Serial.Length > 0 && now.Serial.Length > 0 ? ("", "", "")
            : Differs(before.ObjectId, now.ObjectId) ? ("sysObjectID", before.ObjectId, now.ObjectId)
            : Differs(before.EngineId, now.EngineId) ? ("SNMP engine", before.EngineId, now.EngineId)
            : ("", "", "");
        return what.Length == 0 ? null : new AgentChange(AgentChangeKind.Replaced, $"Another switch answers at this address: its {what} was '{was}' and is '{isNow}'.");
    }

    private static AgentChange? Restarted(AgentPulse before, AgentPulse now)
    {
        var isNewEngine = Differs(before.Identity.EngineId, now.Identity.EngineId);
        var isBoot = before.EngineBoots is { } old && now.EngineBoots is { } boots && boots != old;
        TimeSpan elapsed = now.At - before.At;
        if (!isBoot && !isNewEngine && !(before.UpTime is { } was && now.UpTime is { } isNow && StartedBetween(was, isNow, elapsed)))
        {
            return null;
        }

        var since = now.UpTime is { } up ? string.Create(CultureInfo.InvariantCulture, $", up for {up.TotalSeconds:0} s") : string.Empty;
        var ranOn = RanOn(before, now);
        return ranOn == true
            ? new AgentChange(AgentChangeKind.AgentRestarted, $"The agent started again{since}, while the switch ran on: its ports kept their power.")
            : new AgentChange(
                AgentChangeKind.Restarted,
                $"The {(ranOn == false ? "switch" : "agent")} started again{since}." + (ranOn is null ? " Whether its ports lost power meanwhile is not known." : string.Empty));
    }

    // Null where the switch does not tell how long it has been up, or its clock stands still.
    private static bool? RanOn(AgentPulse before, AgentPulse now) =>
        before.SystemUpTime is { } was && now.SystemUpTime is { } isNow && isNow != was ? !StartedBetween(was, isNow, now.At - before.At) : null;

    // What started between two polls is up for no longer than the time between them, and shorter than it should be.
    private static bool StartedBetween(TimeSpan before, TimeSpan now, TimeSpan elapsed)
    {
        var slack = TimeSpan.FromSeconds(Math.Max(s_slackMin.TotalSeconds, elapsed.TotalSeconds * SlackShare));
        TimeSpan expected = before + elapsed;
        if (now == before || now > elapsed + slack)
        {
            return now < before && !IsNear(now, expected - s_roundOfTicks, slack);
        }

        return now < before ? !IsNear(now, expected - s_roundOfTicks, slack) : now < expected - slack;
    }

    private static bool IsNear(TimeSpan value, TimeSpan expected, TimeSpan slack) => expected > -slack && (value - expected).Duration() <= slack;

    private static AgentChange? Regrouped(ImmutableArray<int> before, ImmutableArray<int> now)
    {
        if (before.IsDefaultOrEmpty || now.IsDefaultOrEmpty || before.SequenceEqual(now))
        {
            return null;
        }

        var kind = before.Except(now).Any() && now.Except(before).Any() ? AgentChangeKind.Renumbered : AgentChangeKind.GroupsChanged;
        return new AgentChange(kind, $"PSE groups were {string.Join(", ", before)} and are {string.Join(", ", now)}: "
            + (kind == AgentChangeKind.Renumbered ? "members of the stack were renumbered, and ports of the design may now be others." : "a member of the stack joined or left."));
    }

    private static bool Differs(string before, string now) => before.Length > 0 && now.Length > 0 && before != now;
}
