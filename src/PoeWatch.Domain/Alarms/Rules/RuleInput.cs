using System.Globalization;
using PoeWatch.Domain.Alarms.Memory;
using PoeWatch.Domain.Assessment;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.Quantities;
using PoeWatch.Domain.Readings;

namespace PoeWatch.Domain.Alarms.Rules;

/// <summary>What every rule looks at, and the words that rules share.</summary>
/// <param name="Memory">What is remembered beyond the newest readings; null where nobody remembers: rules that need it then say nothing.</param>
internal sealed record RuleInput(DesignModel Design, SiteAssessment Site, AlarmTimings Timings, SiteMemory? Memory = null)
{
    public const string Caution =
        "Caution: a PoE port stays live while the pole is open. Switch its feed off and prove it dead before you touch a conductor; work on poles, mains and "
        + "surge protection is for licensed people under the local code. PoE is no life-safety supply: see what else hangs on the run before you cut it.";

    /// <summary>Until all ports of a switch that started are fed in their stages and what hangs there has booted: common practice, no source.</summary>
    public static readonly TimeSpan StartTime = TimeSpan.FromMinutes(5);

    // A device that was just fed draws more than it will, some for two minutes: common practice, no source.
    private static readonly TimeSpan s_bootTime = TimeSpan.FromMinutes(3);

    /// <summary>True where the switch of a port started a short while ago.</summary>
    public bool IsSwitchStarting(PsePortRef port) => Site.Agents.TryGetValue(port.PseId, out var agent) && agent.UpTime < StartTime;

    /// <summary>How long too much draw is let wait where what hangs on the port may still be booting, or was when it was last read; null at any other port.</summary>
    public TimeSpan? WhileBooting(PsePortRef port) =>
        IsSwitchStarting(port) || (Memory?.Find(port)?.OnFor(Memory.Running) is { } on && on <= s_bootTime + PollPeriodOf(port)) ? StartTime + PollPeriodOf(port) : null;

    /// <summary>How old the newest reading of a port may be before there is another one.</summary>
    public TimeSpan PollPeriodOf(PsePortRef port) => Design.Agents.TryGetValue(port.PseId, out var agent) ? agent.PollPeriod : TimeSpan.Zero;

    /// <summary>True where a rule with a number has to speak: below the highest floor, or in the deadband above it.</summary>
    public bool IsNear(Power value, Power highestFloor, string type) => value.Watts < Timings.For(type).ClearsAt(highestFloor.Watts);

    public static string Watts(Power power) => string.Create(CultureInfo.InvariantCulture, $"{power.Watts:0.0} W");

    /// <summary>"24.3 W (measured)", or "at most 30.0 W (class-bound)".</summary>
    public static string Watts(KnownPower power) => power.Watts is not { } watts
        ? "unknown"
        : $"{(power.Provenance.IsCeiling() ? "at most " : "")}{Watts(watts)} ({power.Provenance.Name()})";

    /// <summary>"run quay-west:1/3 (pole Quay 3)".</summary>
    public string Place(RunAssessment run) => $"run {run.CableRunId} ({Poles(run.PoleIds)})";

    /// <summary>"port quay-west:1/3 (pole Quay 3)", or the port alone where it serves no pole.</summary>
    public string Place(PortAssessment port) =>
        port.CableRunId is { } id && Site.CableRuns.TryGetValue(id, out var run) ? $"port {port.Port} ({Poles(run.PoleIds)})" : $"port {port.Port}";

    public string Poles(IReadOnlyCollection<string> ids) => ids.Count switch
    {
        0 => "no pole",
        1 => $"pole {PoleName(ids.First())}",
        _ => $"poles {List([.. ids.Select(PoleName)])}",
    };

    /// <summary>Up to ten by name, the rest by number: a text must stay readable.</summary>
    public static string List(IReadOnlyCollection<string> names) => names.Count <= 10
        ? string.Join(", ", names)
        : string.Create(CultureInfo.InvariantCulture, $"{string.Join(", ", names.Take(10))} and {names.Count - 10} more");

    /// <summary>Floors for low headroom: minor below the early one, major below the late one, critical where a limit is broken.</summary>
    public static AlarmLevel[] Levels(HeadroomLevels levels, Power limit) =>
    [
        new(AlarmSeverity.Minor, levels.Early.For(limit).Watts),
        new(AlarmSeverity.Major, levels.Late.For(limit).Watts),
        new(AlarmSeverity.Critical, 0),
    ];

    /// <summary>A condition whose severity follows from its value and its levels.</summary>
    public static AlarmCondition Levelled(AlarmKey key, double value, AlarmLevel[] levels, string text, string nextSteps)
    {
        var below = levels.Where(level => value < level.Floor).Select(level => level.Severity).DefaultIfEmpty(levels.Min(level => level.Severity));
        return new AlarmCondition(key, below.Max(), value, levels.Max(level => level.Floor), text, nextSteps) { Levels = [.. levels] };
    }

    private string PoleName(string id) => Design.Poles.TryGetValue(id, out var pole) ? pole.Name : id;
}
