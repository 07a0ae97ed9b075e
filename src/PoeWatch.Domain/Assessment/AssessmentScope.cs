using System.Collections.Frozen;
using System.Collections.Immutable;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.Quantities;
using PoeWatch.Domain.Readings;

namespace PoeWatch.Domain.Assessment;

/// <summary>What all parts of one assessment look at: the design, the moment, and the readings that still count. Immutable.</summary>
internal sealed class AssessmentScope
{
    /// <summary>A reading older than this many poll periods says nothing any more.</summary>
    public const int AgePeriodsMax = 3;

    // How long after the end of a schedule a port may still be off: what a switch's clock may differ by, and two polls. Common practice, no source.
    private static readonly TimeSpan s_scheduleEnd = TimeSpan.FromMinutes(10);

    // The longest that a poll takes by default.
    private static readonly TimeSpan s_silentPoll = TimeSpan.FromMinutes(1);

    private readonly NetworkSnapshot _snapshot;
    private readonly Dictionary<PsePortRef, PortReading> _ports = [];

    public AssessmentScope(DesignAnalysis analysis, NetworkSnapshot snapshot, LoadCaseOutlook outlook)
    {
        Analysis = analysis;
        _snapshot = snapshot;
        Outlook = outlook;
        OffBySchedule = OffNow(analysis, Now);
        foreach (var port in analysis.Design.Agents.Keys.SelectMany(id => Reading(id)?.Ports ?? []))
        {
            _ports[port.Port] = port;
        }
    }

    public DesignAnalysis Analysis { get; }

    public DesignModel Design => Analysis.Design;

    public DateTimeOffset Now => _snapshot.At;

    public LoadCaseOutlook Outlook { get; }

    public ImmutableArray<int> InForce => Outlook.InForce;

    public FrozenSet<PsePortRef> OffBySchedule { get; }

    /// <summary>True where a schedule ended within its switch's two poll periods and ten minutes.</summary>
    public bool WasOffBySchedule(PsePortRef port)
    {
        var since = Design.Agents.TryGetValue(port.PseId, out var agent) ? s_scheduleEnd + (agent.PollPeriod * 2) : s_scheduleEnd;
        return !OffBySchedule.Contains(port) && Design.Schedules.Any(s => s.Ports.Contains(port) && EndedWithin(s.Off, since));
    }

    /// <summary>Ports that count now, of all agents.</summary>
    public IEnumerable<PsePortRef> ReadPorts => _ports.Keys;

    public SwitchReading? Latest(string pseId) => _snapshot.Latest.GetValueOrDefault(pseId);

    public DateTimeOffset? LastAnswerAt(string pseId) => _snapshot.LatestAnswer.GetValueOrDefault(pseId)?.At;

    /// <summary>True where it says nothing any more. A silence or a refusal is known until the agent is asked again and that has had its time.</summary>
    public bool IsTooOld(SwitchReading reading)
    {
        TimeSpan age = Design.Agents[reading.PseId].PollPeriod * AgePeriodsMax;
        return Now - reading.At > (reading.NextWithin is { } next ? age + next + s_silentPoll : age);
    }

    /// <summary>The newest reading where it carries ports and is not too old; else null, and nothing is known.</summary>
    public SwitchReading? Reading(string pseId) =>
        Latest(pseId) is { Outcome: PollOutcome.Answered or PollOutcome.Partial } latest && !IsTooOld(latest) ? latest : null;

    /// <summary>The reading of a port; null where nothing is known of it.</summary>
    public PortReading? Port(PsePortRef port) => _ports.GetValueOrDefault(port);

    /// <summary>What a port draws as it counts at the PSE: where the PD reported it the loss of the cable is laid on, by the design's own share.</summary>
    public KnownPower DrawAtPse(PsePortRef port)
    {
        if (Port(port) is not { DrawAtPse: { } watts } reading)
        {
            return KnownPower.Nothing;
        }

        var atPd = reading.Provenance == Provenance.ReportedByPd && Analysis.Ports.TryGetValue(port, out var design) && !design.Cases.IsEmpty;
        return new KnownPower(atPd ? watts / HeaviestNow(Analysis.Ports[port].Cases).PdShare : watts, reading.Provenance);
    }

    /// <summary>Of the load cases in force the one that asks most at the PSE.</summary>
    public RunCase HeaviestNow(ImmutableArray<RunCase> cases) => InForce.Select(i => cases[i]).MaxBy(c => c.DrawAtPse ?? Power.Zero)!;

    private bool EndedWithin(DailyWindow off, TimeSpan since)
    {
        var ago = TimeOnly.FromDateTime(Analysis.Calendar.LocalTime(Now)) - off.To;
        return ago < since;
    }

    private static FrozenSet<PsePortRef> OffNow(DesignAnalysis analysis, DateTimeOffset now)
    {
        var time = TimeOnly.FromDateTime(analysis.Calendar.LocalTime(now));
        return analysis.Design.Schedules.Where(s => s.Off.Contains(time)).SelectMany(s => s.Ports).ToFrozenSet();
    }
}
