using System.Collections.Immutable;
using PoeWatch.Domain.Assessment;
using PoeWatch.Domain.Readings;
using PoeWatch.Monitoring.Abstractions;
using PoeWatch.Monitoring.Ingestion;
using PoeWatch.Monitoring.Ingestion.Spool;
using PoeWatch.Monitoring.Notices;
using PoeWatch.Monitoring.Polling;
using PoeWatch.Monitoring.Rollups;
using PoeWatch.Monitoring.Sealing;

namespace PoeWatch.Monitoring.Service;

/// <summary>Puts together how the service itself is from what its parts know. Thread safe.</summary>
public sealed class ServiceHealthView(
    ISiteView view, ReadingKeeper keeper, StoreGate gate, RollupKeeper rollups, PollLoop polls, SiteMonitor monitor, SealKeeper seals, ClockWatch clock,
    ServiceIdentity identity, NoticeLoop notices)
    : IServiceHealth
{
    private static readonly TimeSpan RollupsBehindMax = TimeSpan.FromHours(1);

    public ServiceHealth Current => new(
        identity.StartedAt,
        identity.Version,
        ImmutableArray.Create(Polling(), History(), Rollups(), Alarms(),
            NoticeHealth.Of(notices.Lanes, notices.FullLanes, notices.Problem), Seals(), Clock()),
        keeper.WaitingReadings,
        keeper.WaitingMax,
        keeper.Dropped);

    private PartHealth Polling()
    {
        AgentAssessment[] agents = [.. view.Current.Assessment.Agents.Values];
        var lost = agents.Count(a => a.Outcome is PollOutcome.Silent or PollOutcome.Refused or PollOutcome.Malformed);
        var answering = agents.Count(a => a.Outcome is PollOutcome.Answered or PollOutcome.Partial or PollOutcome.NoPoe);
        var awaited = agents.Length - lost - answering;
        var behind = agents.Count(a => a.SilentBecauseOf is not null);
        var detail = FormattableString.Invariant($"{answering} of {agents.Length} agents answer; ")
            + (awaited == 0 ? string.Empty : FormattableString.Invariant($"of {awaited} no poll has ended yet; "))
            + (behind == 0 ? string.Empty : FormattableString.Invariant($"{behind} are silent only because of what is before them ({polls.CutOff} asked rarely until that answers); "))
            + FormattableString.Invariant($"{polls.MissedSlots} poll slots missed")
            + (polls.SinceLastMissed is { } since
                ? FormattableString.Invariant($", the last by an agent that answers {since.TotalSeconds:0} s ago: longer periods, a larger polling.maxInFlight or another instance help.")
                : ".");
        var status = agents.Length > 0 && lost == agents.Length ? "bad" : lost > 0 ? "degraded" : "good";
        return new PartHealth("polling", status, detail);
    }

    private PartHealth History()
    {
        var problem = gate.IsReady ? keeper.Problem : $"The store is not open: {gate.Problem}";
        if (problem.Length > 0 || keeper.Spooled.Polls > 0)
        {
            return new PartHealth("history", "bad", $"{problem} {Waiting()}".TrimStart());
        }

        return keeper.Spooled.Damaged > 0
            ? new PartHealth("history", "degraded", FormattableString.Invariant($"{keeper.Spooled.Damaged} frames of the spool were damaged and are lost; see the log."))
            : keeper.Dropped > 0
                ? new PartHealth("history", "degraded", FormattableString.Invariant($"{keeper.Dropped} polls were dropped since the start."))
                : new PartHealth("history", "good", "Readings are kept within 2 s of the answer.");
    }

    private PartHealth Rollups() => rollups.Problem is { Length: > 0 } problem
        ? new PartHealth("rollups", "degraded", $"Quarter-hours, hours and days are not made: {problem} It is tried again; nothing is lost as long as the readings are there.")
        : rollups.Behind >= RollupsBehindMax
            ? new PartHealth("rollups", "degraded", FormattableString.Invariant($"Quarter-hours, hours and days are {rollups.Behind.TotalHours:0.#} h behind and catch up."))
            : new PartHealth("rollups", "good", "Quarter-hours, hours and days are up to date.");

    private string Waiting()
    {
        ReadingSpool spool = keeper.Spooled;
        var spooled = FormattableString.Invariant($"{spool.Polls} polls are kept in the spool and go to the store when it is back ({spool.Bytes / 1048576.0:0.0} of {spool.BytesMax >> 20} MiB).");
        return spool.Problem.Length == 0
            ? spooled
            : FormattableString.Invariant($"{spooled} {spool.Problem} {keeper.WaitingReadings} polls wait in memory, {keeper.WaitingMax} at most; beyond that the oldest are dropped.");
    }

    private PartHealth Alarms() => monitor.ViewProblem is { Length: > 0 } fault
        ? new PartHealth("alarms", "bad", fault)
        : monitor.AlarmProblem is { Length: > 0 } problem
        ? new PartHealth("alarms", "degraded", problem)
        : new PartHealth("alarms", "good", "Alarms are kept.");

    private PartHealth Seals()
    {
        var signing = seals.IsSigning ? "roots are signed." : "roots are not signed: evidence.keyFile names no key.";
        return seals.Problem is { Length: > 0 } problem
            ? new PartHealth("seals", "degraded", $"Quarter-hours are not being sealed: {problem}")
            : seals.UnpublishedRoots > 0
                ? new PartHealth("seals", "degraded", FormattableString.Invariant($"{seals.UnpublishedRoots} roots of days wait to be written to evidence.rootFolder; {signing}"))
                : new PartHealth("seals", "good", $"Quarter-hours are sealed; {signing}");
    }

    private PartHealth Clock() => clock.LastStep is { Length: > 0 } step
        ? new PartHealth("clock", "degraded", $"The system clock was {step}.")
        : new PartHealth("clock", "good", "No step seen since the start.");
}

/// <summary>Which build runs, and since when.</summary>
public sealed record ServiceIdentity(string Version, DateTimeOffset StartedAt);
