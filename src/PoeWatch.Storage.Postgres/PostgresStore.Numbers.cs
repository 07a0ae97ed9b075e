using System.Collections.Concurrent;
using System.Collections.Immutable;
using Npgsql;
using PoeWatch.Domain.Readings;
using PoeWatch.Monitoring.Abstractions;
using PoeWatch.Monitoring.Storage;

namespace PoeWatch.Storage.Postgres;

/// <content>The small numbers that stand in a poll's row for an element and for a set of interface names.</content>
public sealed partial class PostgresStore
{
    // More distinct sets than any real site has; only then are they asked for again.
    private const int NamesRemembered = 4096;

    private readonly ConcurrentDictionary<string, int> _elementNumbers = new();
    private readonly ConcurrentDictionary<string, int> _namesNumbers = new();

    private void ForgetNumbers()
    {
        _elementNumbers.Clear();
        _namesNumbers.Clear();
        _partitions.Clear();
    }

    private async Task<int[]> NumbersOfElementsAsync(IReadOnlyList<SwitchReading> readings, CancellationToken cancellationToken)
    {
        var numbers = new int[readings.Count];
        for (var i = 0; i < numbers.Length; i++)
        {
            var id = readings[i].PseId;
            if (!_elementNumbers.TryGetValue(id, out numbers[i]))
            {
                numbers[i] = await NumberAsync(
                    "INSERT INTO pse (name) VALUES ($1) ON CONFLICT DO NOTHING", "SELECT id FROM pse WHERE name = $1", cancellationToken, id);
                _elementNumbers[id] = numbers[i];
            }
        }

        return numbers;
    }

    private async Task<int> NumberOfNamesAsync(ImmutableDictionary<PsePortRef, string> names, CancellationToken cancellationToken)
    {
        if (names.IsEmpty)
        {
            return 0;
        }

        var packed = InterfaceNamesCodec.Encode(names);
        var hash = InterfaceNamesCodec.Hash(packed);
        var key = Convert.ToHexString(hash);
        if (_namesNumbers.TryGetValue(key, out var number))
        {
            return number;
        }

        if (_namesNumbers.Count >= NamesRemembered)
        {
            _namesNumbers.Clear();
        }

        number = await NumberAsync(
            "INSERT INTO interface_names (hash, names) VALUES ($1, $2) ON CONFLICT DO NOTHING",
            "SELECT id FROM interface_names WHERE hash = $1",
            cancellationToken,
            hash,
            packed);
        _namesNumbers[key] = number;
        return number;
    }

    internal async Task<ImmutableDictionary<PsePortRef, string>> NamesAsync(int number, string pseId, CancellationToken cancellationToken)
    {
        var found = await RowsAsync(
            "SELECT names, hash FROM interface_names WHERE id = $1",
            r => (Names: r.GetFieldValue<byte[]>(0), Hash: r.GetFieldValue<byte[]>(1)),
            cancellationToken,
            number);
        return found.Count == 1
            ? InterfaceNamesCodec.Decode(found[0].Names, found[0].Hash, pseId)
            : throw new StoreException($"Interface names {number} of '{pseId}' are missing: the store is damaged. Restore it from a backup.");
    }

    // Asked first: an insert that meets a row burns a number each time.
    private async Task<int> NumberAsync(string insert, string select, CancellationToken cancellationToken, params object[] values)
    {
        for (var attempt = 0; ; attempt++)
        {
            await using var find = _source.CreateCommand(select);
            find.Parameters.Add(new NpgsqlParameter { Value = values[0] });
            if (await find.ExecuteScalarAsync(cancellationToken) is int number)
            {
                return number;
            }

            if (attempt > 0)
            {
                throw new StoreException($"The database {_place} does not keep a row that was just written: {insert}.");
            }

            await using var add = _source.CreateCommand(insert);
            foreach (var value in values)
            {
                add.Parameters.Add(new NpgsqlParameter { Value = value });
            }

            await add.ExecuteNonQueryAsync(cancellationToken);
        }
    }
}
