using System.Collections.Immutable;
using PoeWatch.Domain.DrawSheets;
using PoeWatch.Monitoring.Polling.Inspection;
using PoeWatch.Monitoring.Polling.Interfaces;
using PoeWatch.Snmp;

namespace PoeWatch.Monitoring.Surveys;

/// <summary>What one of many agents said of itself.</summary>
/// <param name="Report">Null where it did not answer.</param>
/// <param name="Answer">The first answer, or why there is none.</param>
/// <param name="SystemName">sysName, or empty.</param>
/// <param name="ChassisIds">Its own chassis ids of LLDP as its neighbours show them.</param>
public sealed record SurveyedAgent(InspectionReport? Report, SnmpResult Answer, string SystemName, ImmutableArray<string> ChassisIds);

/// <summary>Asks many agents what they offer, so many at once and no more. Only reads. Thread safe.</summary>
public sealed class AddressSurvey(SnmpClient client, SheetBook sheets, TimeProvider time)
{
    // lldpLocChassisIdSubtype.0 and lldpLocChassisId.0 of LLDP-MIB, then of LLDP-V2-MIB.
    private static readonly ImmutableArray<Oid> s_chassis =
    [
        Oid.Parse("1.0.8802.1.1.2.1.3.1.0"), Oid.Parse("1.0.8802.1.1.2.1.3.2.0"), Oid.Parse("1.3.111.2.802.1.1.13.1.3.1.0"), Oid.Parse("1.3.111.2.802.1.1.13.1.3.2.0"),
    ];

    private readonly AgentInspector _inspector = new(client, sheets, time);

    /// <param name="atOnce">How many are asked at one time.</param>
    /// <returns>In the order of the agents.</returns>
    public async Task<ImmutableArray<SurveyedAgent>> AskAsync(
        IReadOnlyList<SnmpTarget> agents, int atOnce, CancellationToken cancellationToken)
    {
        ArgumentNullException.ThrowIfNull(agents);
        var found = new SurveyedAgent[agents.Count];
        var options = new ParallelOptions { MaxDegreeOfParallelism = atOnce, CancellationToken = cancellationToken };
        await Parallel.ForEachAsync(
            Enumerable.Range(0, agents.Count), options, async (i, stop) => found[i] = await AskAsync(agents[i], stop).ConfigureAwait(false)).ConfigureAwait(false);
        return [.. found];
    }

    private async Task<SurveyedAgent> AskAsync(SnmpTarget agent, CancellationToken cancellationToken)
    {
        var (report, answer) = await _inspector.InspectAsync(agent, cancellationToken, withSkeleton: false).ConfigureAwait(false);
        if (report is null)
        {
            // In v2c nothing more is to be found out.
            SnmpResult why = answer.Outcome == SnmpOutcome.Timeout && agent.Credentials is UsmCredentials
                ? await client.DiagnoseSilenceAsync(agent, cancellationToken).ConfigureAwait(false)
                : answer;
            return new SurveyedAgent(null, why.IsAnswered ? answer : why, string.Empty, []);
        }

        SnmpResult chassis = await client.GetAsync(agent, s_chassis, cancellationToken).ConfigureAwait(false);
        var name = report.Identity.FirstOrDefault(known => known.Label == "name").Value.TryGetText(out var text) ? text.Trim() : string.Empty;
        return new SurveyedAgent(report, answer, name, ChassisIds(chassis));
    }

    private static ImmutableArray<string> ChassisIds(SnmpResult chassis) => chassis.VarBinds.Length != s_chassis.Length
        ? []
        :
        [
            .. new[] { 0, 2 }.Select(at => NeighbourReader.Identity(chassis.VarBinds[at + 1].Value, chassis.VarBinds[at].Value.TryGetInt64(out var kind) && kind == 4))
                .Where(id => id.Length > 0).Distinct(StringComparer.OrdinalIgnoreCase),
        ];
}
