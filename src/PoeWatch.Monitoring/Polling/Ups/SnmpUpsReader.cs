using System.Collections.Immutable;
using Microsoft.Extensions.Options;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.Readings;
using PoeWatch.Monitoring.Abstractions;
using PoeWatch.Snmp;

namespace PoeWatch.Monitoring.Polling.Ups;

/// <summary>Reads a UPS over SNMP (RFC 1628). Thread safe.</summary>
public sealed class SnmpUpsReader(SnmpClient client, ICredentialSource credentials, IOptions<PollingOptions> options, TimeProvider time) : IUpsReader
{
    private static readonly WalkRequest s_request = new(
        [UpsOids.OutputPower, UpsOids.OutputLoad],
        [UpsOids.Battery, UpsOids.SecondsOnBattery, UpsOids.MinutesRemaining, UpsOids.Charge, UpsOids.Source],
        maxRequests: 10, maxCells: 100);

    private readonly AgentReach _reach = new(credentials, options);
    private readonly BulkWalker _walker = new(client, time);

    public async Task<UpsReading> ReadAsync(string upsId, SnmpAgent agent, TimeSpan goodFor, CancellationToken cancellationToken)
    {
        var (told, problem) = await AskAsync(agent, cancellationToken).ConfigureAwait(false);
        DateTimeOffset at = time.GetUtcNow();
        return new UpsReading(upsId, told, at, at + goodFor, problem);
    }

    private async Task<(UpsFigures? Told, string Problem)> AskAsync(SnmpAgent agent, CancellationToken cancellationToken)
    {
        var (target, unreachable) = await _reach.FindAsync(agent, cancellationToken).ConfigureAwait(false);
        if (target is null)
        {
            return (null, unreachable);
        }

        using WalkResult walk = await _walker.WalkAsync(target, s_request, new WalkState(), cancellationToken).ConfigureAwait(false);
        if (!walk.HasAnswer)
        {
            return (null, walk.Failure?.Summary ?? "The agent's answers stepped back or were empty.");
        }

        return (UpsDecoder.Decode(
            new UpsAnswer(Number(0), Number(1), Number(2), Number(3), Number(4), Numbers(walk.Columns[0]), Numbers(walk.Columns[1])), out var problem), problem);

        long? Number(int i) => walk.Instances[i].Value.TryGetInt64(out var number) ? number : null;
    }

    private static ImmutableArray<long> Numbers(WalkColumn column)
    {
        ImmutableArray<long>.Builder found = ImmutableArray.CreateBuilder<long>(column.Length);
        for (WalkColumnReader rows = column.Read(); rows.Next();)
        {
            if (rows.TryGetInt64(out var number))
            {
                found.Add(number);
            }
        }

        return found.ToImmutable();
    }
}
