using System.Collections.Concurrent;
using Microsoft.Extensions.Options;
using PoeWatch.Domain.Conditions;
using PoeWatch.Domain.Design;
using PoeWatch.Domain.Quantities;
using PoeWatch.Monitoring.Abstractions;
using PoeWatch.Snmp;

namespace PoeWatch.Monitoring.Polling.Thermometers;

/// <summary>Reads a temperature over SNMP (RFC 3433), by its index or by its name. Thread safe.</summary>
public sealed class SnmpThermometerReader(
    SnmpClient client, ICredentialSource credentials, IOptions<PollingOptions> options, TimeProvider time) : IThermometerReader
{
    private readonly AgentReach _reach = new(credentials, options);
    private readonly BulkWalker _walker = new(client, time);

    // RFC 6933 lets indices change when the agent restarts: a name is looked up again as soon as its row is not there.
    private readonly ConcurrentDictionary<Thermometer, uint> _found = new();

    public async Task<ThermometerReading> ReadAsync(
        Thermometer thermometer, SnmpAgent agent, TimeSpan goodFor, CancellationToken cancellationToken)
    {
        var (shown, problem) = await AskAsync(thermometer, agent, cancellationToken).ConfigureAwait(false);
        DateTimeOffset at = time.GetUtcNow();
        return new ThermometerReading(thermometer.Id, shown, at, at + goodFor, problem);
    }

    private async Task<(Temperature? Shown, string Problem)> AskAsync(Thermometer thermometer, SnmpAgent agent, CancellationToken cancellationToken)
    {
        var (found, unreachable) = await _reach.FindAsync(agent, cancellationToken).ConfigureAwait(false);
        if (found is not { } target)
        {
            return (null, unreachable);
        }

        var isKnown = thermometer.PhysicalName is null || _found.ContainsKey(thermometer);
        for (var isAgain = false; ; isAgain = true)
        {
            var (index, missing) = await IndexAsync(thermometer, target, cancellationToken).ConfigureAwait(false);
            if (index is not { } row)
            {
                return (null, missing);
            }

            var (read, failure) = await RowAsync(target, row, thermometer.PhysicalName, cancellationToken).ConfigureAwait(false);
            if (read is { } decoded)
            {
                return (ThermometerDecoder.Decode(decoded, out var fault), fault);
            }

            if (failure.Length > 0 || isAgain || !isKnown || thermometer.PhysicalName is null)
            {
                return (null, failure.Length > 0 ? failure : "The name leads to another row each time it is read. Check the agent.");
            }

            _found.TryRemove(thermometer, out _);
        }
    }

    private async Task<(uint? Index, string Problem)> IndexAsync(Thermometer thermometer, SnmpTarget target, CancellationToken cancellationToken)
    {
        if (thermometer.PhysicalName is not { } name)
        {
            return ((uint)thermometer.PhysicalIndex!.Value, "");
        }

        if (_found.TryGetValue(thermometer, out var known))
        {
            return (known, "");
        }

        using WalkResult walk = await _walker.WalkAsync(target, new WalkRequest([ThermometerOids.PhysicalName]), new WalkState(), cancellationToken).ConfigureAwait(false);
        List<uint> found = RowsNamed(walk.Columns[0], name);
        if (found.Count == 1)
        {
            _found[thermometer] = found[0];
            return (found[0], "");
        }

        return (null, found.Count > 1
            ? $"The agent has {found.Count} rows named '{name}'. Give 'physical-index' instead."
            : walk.IsComplete ? $"The agent has no row named '{name}' in ENTITY-MIB (1.3.6.1.2.1.47)." : walk.Failure?.Summary ?? "The agent's answers stepped back or were empty.");
    }

    private static List<uint> RowsNamed(WalkColumn names, string name)
    {
        var found = new List<uint>();
        Span<uint> index = stackalloc uint[1];
        for (var row = 0; row < names.Length; row++)
        {
            if (names.Value(row).TryGetText(out var text) && text == name && names.TryGetIndex(row, index, out var count) && count == 1)
            {
                found.Add(index[0]);
            }
        }

        return found;
    }

    /// <summary>The row; null with a problem where the agent did not answer, null without one where the row is no longer called so.</summary>
    private async Task<(ThermometerRow? Row, string Problem)> RowAsync(
        SnmpTarget target, uint index, string? name, CancellationToken cancellationToken)
    {
        Oid[] asked =
        [
            ThermometerOids.Kind.Append(index), ThermometerOids.Scale.Append(index), ThermometerOids.Precision.Append(index), ThermometerOids.Shown.Append(index),
            ThermometerOids.Status.Append(index), ThermometerOids.Units.Append(index), ThermometerOids.PhysicalName.Append(index),
        ];
        SnmpResult result = await client.GetAsync(target, asked, cancellationToken).ConfigureAwait(false);
        if (!result.IsAnswered || result.VarBinds.Length < asked.Length)
        {
            return (null, result.Summary);
        }

        if (name is not null && Text(6) != name)
        {
            return (null, "");
        }

        return (new ThermometerRow(Number(0), Number(1), Number(2), Number(3), Number(4), Text(5)), "");

        long? Number(int i) => result.VarBinds[i].Value.TryGetInt64(out var number) ? number : null;
        string? Text(int i) => result.VarBinds[i].Value.TryGetText(out var text) ? text : null;
    }
}
