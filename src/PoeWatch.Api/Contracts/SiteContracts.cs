using PoeWatch.Domain.Assessment;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.Readings;
using PoeWatch.Monitoring.Abstractions;

namespace PoeWatch.Api.Contracts;

/// <summary>A place on the earth, WGS 84.</summary>
public sealed record CoordinatesContract(double LatitudeDegrees, double LongitudeDegrees)
{
    internal static CoordinatesContract? From(Coordinates? at) => at is { } c ? new(c.LatitudeDegrees, c.LongitudeDegrees) : null;
}

/// <summary>The site in a few numbers.</summary>
/// <param name="ViewVersion">Rises with every change of the picture; the live stream counts by it.</param>
/// <param name="PoleCountByGrade">How many poles have each grade.</param>
/// <param name="ActiveAlarmCount">Alarms that are not cleared.</param>
/// <param name="SilentPseIds">Elements whose agent does not answer.</param>
public sealed record SiteContract(
    string Name,
    string TimeZoneId,
    CoordinatesContract? Coordinates,
    string DesignHash,
    long ViewVersion,
    DateTimeOffset At,
    int PoleCount,
    IReadOnlyDictionary<string, int> PoleCountByGrade,
    int ActiveAlarmCount,
    IReadOnlyList<string> SilentPseIds)
{
    /// <summary>Of all runs together; null before the first assessment.</summary>
    public WorstDemandsContract? WorstDemands { get; init; }

    internal static SiteContract From(SiteView view) => new(
        view.Design.Site.Name,
        view.Design.Site.TimeZoneId,
        CoordinatesContract.From(view.Design.Site.Coordinates),
        view.Design.Hash,
        view.Version,
        view.Assessment.At,
        view.Design.Poles.Count,
        Enum.GetValues<HeadroomGrade>().ToDictionary(
            Names.Of, grade => view.Assessment.Poles.Values.Count(pole => pole.Grade == grade), StringComparer.Ordinal),
        view.Alarms.Count(alarm => !alarm.IsCleared),
        [.. view.Assessment.Agents.Values.Where(a => a.Outcome == PollOutcome.Silent).Select(a => a.PseId).Order(StringComparer.Ordinal)])
    {
        WorstDemands = WorstDemandsContract.From(view.Assessment.Demands?.OfSite()),
    };
}

/// <summary>How the agent of an element answers.</summary>
/// <param name="Outcome">unknown, answered, partial, silent, refused, malformed or no-poe.</param>
/// <param name="Detail">What went wrong and what to do; empty where nothing did.</param>
/// <param name="SilentBecauseOf">The element upstream whose silence explains this one; null where none.</param>
/// <param name="Findings">What is odd about its newest answer; empty where nothing is.</param>
public sealed record AgentContract(
    string Address, int UdpPort, double PollPeriodSeconds, string Outcome, string Detail, DateTimeOffset? LastAnswerAt, string? SilentBecauseOf,
    IReadOnlyList<FindingContract> Findings)
{
    /// <summary>Poll slots of this agent that passed unpolled since the service started; slots of a silent agent that is asked rarely are none.</summary>
    public long MissedSlotCount { get; init; }

    internal static AgentContract From(SnmpAgent agent, AgentAssessment? state) => new(
        agent.Address,
        agent.UdpPort,
        agent.PollPeriod.TotalSeconds,
        Names.Of(state?.Outcome ?? PollOutcome.Unknown),
        state?.Detail ?? "",
        state?.LastAnswerAt,
        state?.SilentBecauseOf,
        [.. (state?.Findings ?? []).Select(FindingContract.From)]);
}

/// <summary>A PSE port held against the design.</summary>
/// <param name="PortRef">The port as everything else names it: <c>quay-west:1/7</c>.</param>
/// <param name="HeadroomW">Limit minus draw; null where the draw is unknown.</param>
/// <param name="HeadroomAtLeast">True where the draw is only known by a ceiling.</param>
/// <param name="CableRunId">The run that the port meters; null where none.</param>
/// <param name="IsDark">The design expects a PD and the port delivers to none.</param>
/// <param name="DataSideInjectorId">The injector behind the port, which then rightly shows no PD.</param>
/// <param name="At">Time of the reading, UTC; null where there is none.</param>
/// <param name="Kept">True where the reading is synced to disk; null where there is none.</param>
public sealed record PortContract(
    string PortRef,
    string PseId,
    int GroupNumber,
    int PortNumber,
    string? InterfaceName,
    string State,
    DrawContract Draw,
    int? AssignedClassNumber,
    double? LimitW,
    double? DesignDemandW,
    double? HeadroomW,
    bool HeadroomAtLeast,
    string? CableRunId,
    bool IsUnexpected,
    bool IsDark,
    string? DataSideInjectorId,
    DateTimeOffset? At,
    bool? Kept,
    string Grade)
{
    /// <summary>Null where nothing is designed there.</summary>
    public WorstDemandsContract? WorstDemands { get; init; }

    /// <summary>Where the watts come from; null where there are none.</summary>
    public DrawOriginContract? DrawOrigin { get; init; }

    /// <summary>The interface of the port; null where it is not mapped.</summary>
    public InterfaceContract? Interface { get; init; }

    internal static PortContract From(SiteView view, PortAssessment port)
    {
        var answer = view.Snapshot.LatestAnswer.GetValueOrDefault(port.Port.PseId);
        PortReading? reading = answer?.Ports.FirstOrDefault(p => p.Port == port.Port);
        return new(
            port.Port.ToString(),
            port.Port.PseId,
            port.Port.Group,
            port.Port.Port,
            answer?.InterfaceNames.GetValueOrDefault(port.Port),
            Names.Of(port.State),
            DrawContract.From(port.Draw),
            (int?)reading?.AssignedClass,
            port.Limit.RoundedW(),
            port.DesignDemand.RoundedW(),
            port.DrawHeadroom.RoundedW(),
            !port.Draw.Provenance.IsDraw() && port.DrawHeadroom is not null,
            port.CableRunId,
            port.IsUnexpected,
            port.IsDark,
            port.DataSideInjectorId,
            port.At,
            port.At is null ? null : view.IsKept(port.Port.PseId),
            Names.Of(port.Grade))
        {
            WorstDemands = WorstDemandsContract.From(view.Assessment.Demands?.OfPort(port.Port)),
            DrawOrigin = DrawOriginContract.From(reading),
            Interface = answer?.Interfaces.GetValueOrDefault(port.Port) is { } found ? InterfaceContract.From(found) : null,
        };
    }
}

/// <summary>One element with an agent: a switch, a managed injector or a managed pass-through switch.</summary>
/// <param name="Kind">switch, injector or pass-through-switch.</param>
/// <param name="Kept">True where its newest answer is synced to disk; null where there is none.</param>
public sealed record SwitchContract(
    string Id, string Name, string Kind, string? PoleId, string? UplinkSwitchId, AgentContract Agent, IReadOnlyList<GroupContract> Groups, bool? Kept)
{
    /// <summary>Of its designed ports together; null before the first assessment.</summary>
    public WorstDemandsContract? WorstDemands { get; init; }

    internal static SwitchContract From(SiteView view, IPollCounts polls, string pseId)
    {
        var (name, kind, pole, uplink) = Identity(view.Design, pseId);
        return new(
            pseId,
            name,
            kind,
            pole,
            uplink,
            AgentContract.From(view.Design.Agents[pseId], view.Assessment.Agents.GetValueOrDefault(pseId)) with { MissedSlotCount = polls.MissedSlotsOf(pseId) },
            [.. view.Assessment.Groups.Where(g => g.PseId == pseId).OrderBy(g => g.Group).Select(g => GroupContract.From(view.Design, g) with
            {
                WorstDemands = WorstDemandsContract.From(view.Assessment.Demands?.OfGroup(pseId, g.Group)),
            })],
            view.Snapshot.LatestAnswer.ContainsKey(pseId) ? view.IsKept(pseId) : null)
        {
            WorstDemands = WorstDemandsContract.From(view.Assessment.Demands?.OfSwitch(pseId)),
        };
    }

    private static (string Name, string Kind, string? PoleId, string? UplinkId) Identity(DesignModel design, string id)
    {
        if (design.Switches.TryGetValue(id, out var pseSwitch))
        {
            return (pseSwitch.Name, "switch", pseSwitch.PoleId, pseSwitch.Uplink?.SwitchId);
        }

        if (design.Injectors.TryGetValue(id, out var injector))
        {
            return (injector.Name, "injector", null, injector.DataSide?.PseId);
        }

        return design.PassThroughSwitches.TryGetValue(id, out var passThrough)
            ? (passThrough.Name, "pass-through-switch", passThrough.PoleId, null)
            : (id, "switch", null, null);
    }
}

/// <summary>One element with an agent and all its ports.</summary>
public sealed record SwitchDetailContract(SwitchContract Switch, IReadOnlyList<PortContract> Ports);
