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
                numbers[i] = await NumberAsync("pse", "name", "name", cancellationToken, id);
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

        number = await NumberAsync("interface_names", "hash", "hash, names", cancellationToken, hash, packed);
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

    // Inserted only where it is not there: an insert that meets a row burns a number each time. Where another one was quicker it is found the second time.
    private async Task<int> NumberAsync(string table, string key, string columns, CancellationToken cancellationToken, params object[] values)
    {
        var places = string.Join(", ", values.Select((_, i) => $"${i + 1}"));
        for (var attempt = 0; attempt < 2; attempt++)
        {
            await using var command = _source.CreateCommand(
                $"""
                WITH found AS (SELECT id FROM {table} WHERE {key} = $1),
                added AS (INSERT INTO {table} ({columns}) SELECT {places} WHERE NOT EXISTS (SELECT FROM found) ON CONFLICT DO NOTHING RETURNING id)
                SELECT id FROM found UNION ALL SELECT id FROM added
                """);
            foreach (var value in values)
            {
                command.Parameters.Add(new NpgsqlParameter { Value = value });
            }

            if (await command.ExecuteScalarAsync(cancellationToken) is int number)
            {
                return number;
            }
        }

        throw new StoreException($"The database {_place} does not keep a row of '{table}' that was just written.");
    }
}
