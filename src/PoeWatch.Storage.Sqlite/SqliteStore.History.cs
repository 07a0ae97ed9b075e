using System.Collections.Concurrent;
using System.Collections.Immutable;
using System.Runtime.CompilerServices;
using Microsoft.Data.Sqlite;
using PoeWatch.Domain.Readings;
using PoeWatch.Monitoring.Abstractions;
using PoeWatch.Monitoring.Storage;

namespace PoeWatch.Storage.Sqlite;

/// <content>Draw history: one row per poll.</content>
public sealed partial class SqliteStore
{
    // A page is one short read: a slow reader holds neither the write-ahead log nor memory.
    private const int PageRows = 500;

    private const string PollColumns = "p.name, q.at_us, q.outcome, q.detail, q.names_id, q.payload";

    private readonly ConcurrentDictionary<string, long> _pseIds = new();

    /// <inheritdoc/>
    public async Task AppendAsync(IReadOnlyList<SwitchReading> readings, CancellationToken cancellationToken)
    {
        if (readings.Count == 0)
        {
            return;
        }

        var newPseIds = new Dictionary<string, long>();
        var written = await WriteAsync((connection, _) => Append(connection, readings, newPseIds, cancellationToken), cancellationToken);

        // Only now: a rolled-back row's number must not be remembered.
        foreach (var (name, id) in newPseIds)
        {
            _pseIds[name] = id;
        }

        if (written < readings.Count)
        {
            LogRepeated(readings.Count - written, readings.Count);
        }
    }

    /// <inheritdoc/>
    public async IAsyncEnumerable<SwitchReading> ReadAsync(
        string pseId, DateTimeOffset from, DateTimeOffset to, [EnumeratorCancellation] CancellationToken cancellationToken)
    {
        var next = StoreTime.ToMicroseconds(from);
        var end = StoreTime.ToMicroseconds(to);
        var names = new Dictionary<long, ImmutableDictionary<PsePortRef, string>>();
        while (true)
        {
            var page = await ReadAsync(c => ReadPage(c, pseId, next, end, names, cancellationToken), cancellationToken);
            foreach (var reading in page)
            {
                // The stored microsecond may begin before a bound that lies within it.
                if (reading.At >= from && reading.At < to)
                {
                    yield return reading;
                }
            }

            if (page.Count < PageRows)
            {
                yield break;
            }

            next = StoreTime.ToMicroseconds(page[^1].At) + 1;
        }
    }

    /// <inheritdoc/>
    public async Task<IReadOnlyList<SwitchReading>> ReadLatestAsync(CancellationToken cancellationToken) =>
        await ReadAsync(
            connection =>
            {
                using var command = connection.Command(
                    $"""
                    SELECT {PollColumns} FROM pse p
                    JOIN poll q ON q.pse_id = p.id AND q.at_us = (SELECT max(at_us) FROM poll WHERE pse_id = p.id)
                    ORDER BY p.name
                    """);
                return command.Rows(r => ReadPoll(r, NamesOf(connection, r, [])), cancellationToken);
            },
            cancellationToken);

    private int Append(
        SqliteConnection connection, IReadOnlyList<SwitchReading> readings, Dictionary<string, long> newPseIds, CancellationToken cancellationToken)
    {
        using var insert = connection.Command(
            "INSERT INTO poll (pse_id, at_us, outcome, detail, names_id, payload) VALUES ($1, $2, $3, $4, $5, $6) ON CONFLICT DO NOTHING",
            0L, 0L, 0L, null, null, Array.Empty<byte>());
        var namesIds = new Dictionary<ImmutableDictionary<PsePortRef, string>, long>(ReferenceEqualityComparer.Instance);
        var written = 0;
        foreach (var reading in readings)
        {
            cancellationToken.ThrowIfCancellationRequested();
            var pse = PseIdOf(connection, reading.PseId, newPseIds);
            if (!namesIds.TryGetValue(reading.InterfaceNames, out var namesId))
            {
                namesId = NamesIdOf(connection, reading.InterfaceNames);
                namesIds.Add(reading.InterfaceNames, namesId);
            }

            var row = PollRow.Of(reading, namesId);
            written += insert.With(
                pse,
                row.AtMicroseconds,
                (long)row.Outcome,
                row.Detail.Length == 0 ? null : row.Detail,
                namesId == 0 ? null : namesId,
                SwitchReadingCodec.Encode(reading, row)).ExecuteNonQuery();
        }

        return written;
    }

    private long PseIdOf(SqliteConnection connection, string name, Dictionary<string, long> newPseIds)
    {
        if (_pseIds.TryGetValue(name, out var id) || newPseIds.TryGetValue(name, out id))
        {
            return id;
        }

        using var command = connection.Command(
            "INSERT INTO pse (name) VALUES ($1) ON CONFLICT DO NOTHING; SELECT id FROM pse WHERE name = $1", name);
        id = (long)command.ExecuteScalar()!;
        newPseIds.Add(name, id);
        return id;
    }

    private static long NamesIdOf(SqliteConnection connection, ImmutableDictionary<PsePortRef, string> names)
    {
        if (names.IsEmpty)
        {
            return 0;
        }

        var packed = InterfaceNamesCodec.Encode(names);
        using var command = connection.Command(
            "INSERT INTO interface_names (hash, names) VALUES ($1, $2) ON CONFLICT DO NOTHING; SELECT id FROM interface_names WHERE hash = $1",
            InterfaceNamesCodec.Hash(packed),
            packed);
        return (long)command.ExecuteScalar()!;
    }

    private static List<SwitchReading> ReadPage(
        SqliteConnection connection, string pseId, long from, long to,
        Dictionary<long, ImmutableDictionary<PsePortRef, string>> names, CancellationToken cancellationToken)
    {
        using var command = connection.Command(
            $"""
            SELECT {PollColumns} FROM pse p JOIN poll q ON q.pse_id = p.id
            WHERE p.name = $1 AND q.at_us >= $2 AND q.at_us <= $3 ORDER BY q.at_us LIMIT {PageRows}
            """,
            pseId, from, to);
        return command.Rows(r => ReadPoll(r, NamesOf(connection, r, names)), cancellationToken);
    }

    private static SwitchReading ReadPoll(SqliteDataReader reader, ImmutableDictionary<PsePortRef, string> names)
    {
        var row = new PollRow(
            reader.GetString(0),
            reader.GetInt64(1),
            (PollOutcome)reader.GetInt64(2),
            reader.IsDBNull(3) ? "" : reader.GetString(3),
            reader.IsDBNull(4) ? 0 : reader.GetInt64(4));
        return SwitchReadingCodec.Decode(row, reader.GetFieldValue<byte[]>(5), names);
    }

    // One element only: known holds the names of the element that is read.
    private static ImmutableDictionary<PsePortRef, string> NamesOf(
        SqliteConnection connection, SqliteDataReader reader, Dictionary<long, ImmutableDictionary<PsePortRef, string>> known)
    {
        if (reader.IsDBNull(4))
        {
            return ImmutableDictionary<PsePortRef, string>.Empty;
        }

        var id = reader.GetInt64(4);
        if (!known.TryGetValue(id, out var names))
        {
            using var command = connection.Command("SELECT names, hash FROM interface_names WHERE id = $1", id);
            using var found = command.ExecuteReader();
            if (!found.Read())
            {
                throw new StoreException($"Interface names {id} of '{reader.GetString(0)}' are missing: the store is damaged. Restore it from a backup.");
            }

            names = InterfaceNamesCodec.Decode(found.GetFieldValue<byte[]>(0), found.GetFieldValue<byte[]>(1), reader.GetString(0));
            known.Add(id, names);
        }

        return names;
    }
}
