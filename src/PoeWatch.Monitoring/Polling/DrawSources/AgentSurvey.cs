using System.Collections.Frozen;
using System.Collections.Immutable;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.DrawSheets;
using PoeWatch.Monitoring.Polling.Interfaces;
using PoeWatch.Snmp;

namespace PoeWatch.Monitoring.Polling.DrawSources;

/// <summary>What a survey brought. Dispose it once its fast columns are read.</summary>
/// <param name="Offer">The agent, with every column that was read, kept.</param>
/// <param name="Sheet">The sheet in force, or null.</param>
/// <param name="OtherSheets">Sheets whose columns the agent has too.</param>
/// <param name="Sources">Every source, in order of rank.</param>
/// <param name="Offered">Columns that the agent has.</param>
/// <param name="Walk">The columns as walked.</param>
internal sealed record SurveyAnswer(
    AgentOffer Offer, DrawSheet? Sheet, ImmutableArray<DrawSheet> OtherSheets, ImmutableArray<IDrawSource> Sources, FrozenSet<Oid> Offered, WalkResult Walk)
    : IDisposable
{
    /// <summary>What was walked: asked again as the same object, so that what a walk remembers of it is kept once.</summary>
    public WalkRequest? Request { get; init; }

    public void Dispose() => Walk.Dispose();
}

/// <summary>
/// Asks an agent what it has besides POWER-ETHERNET-MIB: first which columns exist at all, a few dozen to a request, then those that do. It is
/// done when an agent is new or started again, when it says that something changed, and now and then. Thread safe.
/// </summary>
internal sealed class AgentSurvey(SnmpClient client, BulkWalker walker, SheetBook book, SharedRequests requests)
{
    private const int AskedAtOnce = 24;

    /// <param name="before">The last survey of the same agent since it started: what it has is not asked again, only the values.</param>
    /// <returns>Null where the agent did not answer.</returns>
    public async Task<SurveyAnswer?> AskAsync(
        SnmpTarget agent, WalkState state, DrawColumn? design, SurveyAnswer? before, CancellationToken cancellationToken)
    {
        SnmpResult identity = await client.GetAsync(agent, [PoeOids.SystemId, PoeOids.SystemText], cancellationToken).ConfigureAwait(false);
        if (!identity.IsAnswered || identity.VarBinds.Length < 2)
        {
            return null;
        }

        var objectId = identity.VarBinds[0].Value.TryGetOid(out Oid id) ? id.ToString() : string.Empty;
        var description = identity.VarBinds[1].Value.TryGetText(out var text) ? text : string.Empty;
        SurveyAnswer? known = before?.Offer.ObjectId == objectId && before.Offer.Description == description ? before : null;
        ImmutableArray<DrawSheet> sheets = known is null ? book.For(objectId) : [];
        FrozenSet<Oid>? offered = known?.Offered ?? await OfferedAsync(agent, Markers(sheets), cancellationToken).ConfigureAwait(false);
        if (offered is null)
        {
            return null;
        }

        DrawSheet[] present = [.. sheets.Where(sheet => Markers(sheet).Any(offered.Contains))];
        DrawSheet? chosen = known is null ? present.FirstOrDefault() : known.Sheet;
        ImmutableArray<IDrawSource> sources = known?.Sources ?? DrawSourceList.Of(design, chosen);
        WalkRequest request = known?.Request ?? requests.Of(Columns(offered, sources, chosen));
        WalkResult walk = await walker.WalkAsync(agent, request, state, cancellationToken).ConfigureAwait(false);
        if (!walk.HasAnswer)
        {
            walk.Dispose();
            return null;
        }

        var offer = new AgentOffer(objectId, description, new SlowAnswers(walk.Columns));
        return new SurveyAnswer(offer, chosen, known?.OtherSheets ?? [.. present.Skip(1)], sources, offered, walk) { Request = request };
    }

    /// <summary>The columns whose presence tells that an agent has the sheet's table: an older software may have only some of them.</summary>
    private static IEnumerable<Oid> Markers(DrawSheet sheet) => sheet.Columns
        .Where(column => column.Holds is SheetQuantity.Draw or SheetQuantity.Amperes or SheetQuantity.Allocated)
        .Select(column => Oid.Parse(column.Oid));

    private static List<Oid> Markers(IEnumerable<DrawSheet> sheets) =>
    [
        .. sheets.SelectMany(Markers).Concat(DrawSourceList.Of(null, null).Select(source => source.Marker)).Concat(InterfaceOids.All).Distinct(),
    ];

    // Of what the agent has, and of the few columns of its sheet; a column that is not there would only bring what stands behind it.
    private static List<Oid> Columns(FrozenSet<Oid> offered, IEnumerable<IDrawSource> sources, DrawSheet? sheet)
    {
        var own = sheet?.Columns.Select(column => Oid.Parse(column.Oid)).ToHashSet() ?? [];
        return
        [
            .. InterfaceOids.All.Where(offered.Contains)
                .Concat(sources.Where((source, rank) => offered.Contains(source.Marker) || own.Contains(source.Marker) || rank == 0).SelectMany(s => s.Fast.Concat(s.Slow)))
                .Concat(own)
                .Append(PoeOids.PortState)
                .Distinct()
                .Take(SnmpClient.MaxOids),
        ];
    }

    private async Task<FrozenSet<Oid>?> OfferedAsync(SnmpTarget agent, List<Oid> asked, CancellationToken cancellationToken)
    {
        var offered = new HashSet<Oid>();
        var (next, atOnce) = (0, AskedAtOnce);
        while (next < asked.Count)
        {
            Oid[] part = [.. asked.Skip(next).Take(atOnce)];
            SnmpResult result = await client.GetBulkAsync(agent, 0, 1, part, cancellationToken).ConfigureAwait(false);
            var isTooMuch = result.Outcome == SnmpOutcome.AgentError || (result.IsAnswered && result.VarBinds.IsEmpty);
            if (isTooMuch && atOnce > 1)
            {
                atOnce /= 2;
                continue;
            }

            if (!result.IsAnswered && !isTooMuch)
            {
                return null;
            }

            var answered = Math.Clamp(result.VarBinds.Length, 1, part.Length);
            for (var i = 0; i < Math.Min(answered, result.VarBinds.Length); i++)
            {
                if (result.VarBinds[i].Oid.StartsWith(part[i]) && result.VarBinds[i].Value.IsPresent)
                {
                    offered.Add(part[i]);
                }
            }

            next += answered;
        }

        return offered.ToFrozenSet();
    }
}
