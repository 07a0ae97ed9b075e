using System.Collections.Immutable;
using System.Globalization;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.DrawSheets;
using PoeWatch.Domain.Readings;
using PoeWatch.Monitoring.Abstractions;
using PoeWatch.Monitoring.Polling.DrawSources;
using PoeWatch.Monitoring.Polling.Interfaces;
using PoeWatch.Snmp;

namespace PoeWatch.Monitoring.Polling.Inspection;

/// <summary>Asks one agent everything that a poll would, and tells what came of it. Only reads. Thread safe.</summary>
public sealed class AgentInspector(SnmpClient client, SheetBook sheets, TimeProvider time)
{
    private const string Name = "inspected";

    // A maker's tree may hold a routing table; the watts of ports are not behind tens of thousands of other values.
    private const int SearchCellsMax = 30_000;
    private const int SearchRequestsMax = 1_000;

    private readonly BulkWalker _walker = new(client, time);

    /// <param name="withSkeleton">True to look through the maker's tree where no draw sheet fits, which may take many requests.</param>
    /// <returns>The report, or null with the answer that says why there is none.</returns>
    public async Task<(InspectionReport? Report, SnmpResult Answer)> InspectAsync(SnmpTarget agent, CancellationToken cancellationToken, bool withSkeleton = true)
    {
        SnmpResult system = await client.GetAsync(
            agent, [PoeOids.SystemText, PoeOids.SystemId, PoeOids.SystemName, PoeOids.UpTime], cancellationToken).ConfigureAwait(false);
        if (!system.IsAnswered)
        {
            return (null, system);
        }

        var state = new WalkState();
        Oid[] columns = [PoeOids.PortState, PoeOids.PortClass, PoeOids.GroupBudget, PoeOids.GroupStatus, PoeOids.GroupDraw];
        using WalkResult walk = await _walker.WalkAsync(agent, new WalkRequest(columns), state, cancellationToken).ConfigureAwait(false);
        using SurveyAnswer? survey = await new AgentSurvey(client, _walker, sheets, new SharedRequests()).AskAsync(agent, state, null, null, cancellationToken).ConfigureAwait(false);
        var draws = new AgentDraws(design: null);
        FastAnswers poll = FastAnswers.Of(walk, survey?.Walk);
        if (survey is not null)
        {
            draws.Take(Name, survey, poll);
        }

        var target = new PollTarget(
            Name, new SnmpAgent(string.Empty, 0, string.Empty, TimeSpan.FromMinutes(1), null), PortTypes.None);
        TimeSpan? upTime = system.VarBinds[3].Value.TryGetInt64(out var ticks) ? TimeSpan.FromMilliseconds(ticks * 10.0) : null;
        DecodedPoll decoded = draws.Decode(target, poll, TimeSpan.Zero, upTime);
        var skeleton = withSkeleton && draws.Plan.Sheet is null && !decoded.Ports.IsEmpty
            ? await SkeletonAsync(agent, draws, decoded, state, cancellationToken).ConfigureAwait(false)
            : null;
        return (Report(system, walk, survey, draws, decoded, upTime, skeleton), system);
    }

    private InspectionReport Report(
        SnmpResult system, WalkResult walk, SurveyAnswer? survey, AgentDraws draws, DecodedPoll decoded, TimeSpan? upTime, string? skeleton)
    {
        var interfaces = survey is null
            ? ImmutableDictionary<PsePortRef, PortInterface>.Empty
            : InterfaceReader.Read(draws.Mapped, survey.Offer.Slow);
        Dictionary<PsePortRef, Criticality> priorities = survey is null ? [] : PoeTableRows.Priorities(Name, survey.Offer.Slow);
        ImmutableArray<PortReading> ports = [.. decoded.Ports.Select(p => priorities.TryGetValue(p.Port, out Criticality priority) ? p with { Priority = priority } : p)];
        var reading = new SwitchReading(Name, 0, time.GetUtcNow(), PollOutcome.Answered, string.Empty, upTime, ports, decoded.Groups)
        {
            Interfaces = interfaces,
            Findings = decoded.Findings,
        };
        return new InspectionReport(
            [.. new[] { "description", "object id", "name", "up time" }.Zip(system.VarBinds.Select(v => v.Value))],
            draws.Plan.Sheet?.Name,
            [.. (survey?.OtherSheets ?? []).Select(sheet => sheet.Name)],
            [.. draws.Plan.Tried.Select(t => new InspectedSource(t.Source.Name, t.Source.Marker.ToString(), t.IsOffered, t.Passes, draws.Plan.Active.Contains(t.Source), t.Gate.Reason))],
            [.. decoded.Rulings.Select(Words)],
            reading,
            skeleton,
            Missing(walk, survey))
        {
            Neighbours = survey is null ? [] : InterfaceReader.Neighbours(survey.Offer.Slow),
        };
    }

    private async Task<string> SkeletonAsync(
        SnmpTarget agent, AgentDraws draws, DecodedPoll decoded, WalkState state, CancellationToken cancellationToken)
    {
        var maker = ObjectIdentifiers.Enterprise(draws.Offer.ObjectId);
        if (maker.Length == 0)
        {
            return SheetSkeleton.Write(draws.Offer.ObjectId, []);
        }

        var request = new WalkRequest([Oid.Parse(maker)], maxRequests: SearchRequestsMax, maxCells: SearchCellsMax);
        using WalkResult tree = await _walker.WalkAsync(agent, request, state, cancellationToken).ConfigureAwait(false);
        return SheetSkeleton.Write(draws.Offer.ObjectId, ColumnSearch.Find(tree.Columns[0], draws.Indexes, decoded));
    }

    private static string Words(SourceRuling ruling)
    {
        GroupRuling r = ruling.Ruling;
        var said = r.Verdict switch
        {
            UnitVerdict.Agrees => $"units agree: the ports add up to {r.Sums.Sum}, the group says {r.Sums.Total}. That proves units only",
            UnitVerdict.Unchecked => "not checked: the group gives no figure, a port has no draw, or it is too little to tell",
            UnitVerdict.Differs => $"the ports add up to {r.Sums.Sum}, the group says {r.Sums.Total}: no other unit explains that",
            UnitVerdict.TotalIsAllocation => $"the group's {r.Sums.Total} is the sum of allocations, the ports add up to {r.Sums.Sum}",
            _ => "conflict: " + UnitTexts.Seen(r.Factor, r.Sums),
        };
        return string.Create(CultureInfo.InvariantCulture, $"group {ruling.Group}, {ruling.Source}: {said}{(r.IsAllocation ? "; every port shows exactly its ceiling, so it is taken for an allocation" : "")}");
    }

    private static string Missing(WalkResult walk, SurveyAnswer? survey) =>
        survey is null ? "The agent did not answer what it has besides POWER-ETHERNET-MIB."
        : !walk.IsComplete ? $"The agent answered only a part ({walk.Ending}). {walk.Failure?.Summary}"
        : !survey.Walk.IsComplete ? $"The agent answered only a part of its other tables ({survey.Walk.Ending}). {survey.Walk.Failure?.Summary}"
        : string.Empty;
}
