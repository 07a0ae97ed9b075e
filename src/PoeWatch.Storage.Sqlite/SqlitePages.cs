using System.Collections.Immutable;
using Microsoft.Data.Sqlite;
using PoeWatch.Domain.Readings;
using PoeWatch.Monitoring.Abstractions;
using PoeWatch.Monitoring.Storage;
using PoeWatch.Monitoring.Storage.Blocks;

namespace PoeWatch.Storage.Sqlite;

/// <summary>The statements over journal and blocks.</summary>
internal sealed class SqlitePages(SqliteStore store) : IHistoryPages
{
    private const string PollColumns = "p.name, q.at_us, q.outcome, q.detail, q.names_id, q.payload";

    public Task<HistoryPage> ReadPageAsync(string pseId, long from, long to, int blocksMax, int pollsMax, CancellationToken cancellationToken) =>
        store.ReadAsync(
            connection =>
            {
                // One transaction, so one moment: a reader begins it with its first statement.
                using var transaction = connection.BeginTransaction(deferred: true);
                using var blocks = connection.Command(
                    """
                    SELECT p.name, b.hour_us, b.part, b.payload FROM pse p JOIN block b ON b.pse_id = p.id
                    WHERE p.name = $1 AND b.hour_us >= $2 AND b.hour_us <= $3 ORDER BY b.hour_us, b.part LIMIT $4
                    """,
                    pseId, BlockRow.HourOf(from), to, (long)blocksMax);
                using var polls = connection.Command(
                    $"""
                    SELECT {PollColumns} FROM pse p JOIN poll q ON q.pse_id = p.id
                    WHERE p.name = $1 AND q.at_us >= $2 AND q.at_us <= $3 ORDER BY q.at_us LIMIT $4
                    """,
                    pseId, from, to, (long)pollsMax);
                return new HistoryPage(blocks.Rows(ReadBlock, cancellationToken), polls.Rows(ReadPoll, cancellationToken));
            },
            cancellationToken);

    public Task<ImmutableDictionary<PsePortRef, string>> ReadNamesAsync(long namesId, string pseId, CancellationToken cancellationToken) => store.ReadAsync(
        connection =>
        {
            using var command = connection.Command("SELECT names, hash FROM interface_names WHERE id = $1", namesId);
            using var found = command.ExecuteReader();
            return found.Read()
                ? InterfaceNamesCodec.Decode(found.GetFieldValue<byte[]>(0), found.GetFieldValue<byte[]>(1), pseId)
                : throw new StoreException($"Interface names {namesId} of '{pseId}' are missing: the store is damaged. Restore it from a backup.");
        },
        cancellationToken);

    public async Task<IReadOnlyList<NewestOf>> ReadNewestAsync(CancellationToken cancellationToken) => await store.ReadAsync(
        connection =>
        {
            using var command = connection.Command(
                $"""
                SELECT {PollColumns}, (SELECT max(hour_us) FROM block WHERE pse_id = p.id) FROM pse p
                LEFT JOIN poll q ON q.pse_id = p.id AND q.at_us = (SELECT max(at_us) FROM poll WHERE pse_id = p.id)
                ORDER BY p.name
                """);
            return command.Rows(
                r => new NewestOf(r.GetString(0), r.IsDBNull(1) ? null : ReadPoll(r), r.IsDBNull(6) ? null : r.GetInt64(6)), cancellationToken);
        },
        cancellationToken);

    public async Task<IReadOnlyList<(string PseId, long Oldest)>> FindOldestAsync(
        long before, IReadOnlyDictionary<string, long> from, CancellationToken cancellationToken) => await store.ReadAsync(
        connection =>
        {
            using var command = connection.Command("SELECT p.name, (SELECT min(at_us) FROM poll WHERE pse_id = p.id) FROM pse p ORDER BY p.name");
            var oldest = command.Rows(r => (Name: r.GetString(0), At: r.IsDBNull(1) ? long.MaxValue : r.GetInt64(1)), cancellationToken);
            using var later = connection.Command("SELECT min(at_us) FROM poll WHERE at_us >= $2 AND pse_id = (SELECT id FROM pse WHERE name = $1)", "", 0L);
            return oldest
                .Select(o => from.TryGetValue(o.Name, out var start) ? (o.Name, At: later.With(o.Name, start).ExecuteScalar() as long? ?? long.MaxValue) : o)
                .Where(o => o.At < before)
                .ToList();
        },
        cancellationToken);

    public Task WritePackedAsync(IReadOnlyList<PackedHour> hours, CancellationToken cancellationToken) => store.WriteAsync(
        (connection, _) =>
        {
            using var insert = connection.Command(
                "INSERT INTO block (pse_id, hour_us, part, payload) SELECT id, $2, $3, $4 FROM pse WHERE name = $1", "", 0L, 0L, Array.Empty<byte>());
            using var element = connection.Command("SELECT id FROM pse WHERE name = $1", "");
            using var delete = connection.Command("DELETE FROM poll WHERE pse_id = $1 AND at_us = $2", 0L, 0L);
            foreach (var hour in hours)
            {
                foreach (var block in hour.Blocks)
                {
                    insert.With(hour.PseId, block.Row.HourMicroseconds, (long)block.Row.Part, block.Payload).ExecuteNonQuery();
                }

                var id = element.With(hour.PseId).ExecuteScalar();
                var deleted = hour.JournalMicroseconds.Sum(at => delete.With(id, at).ExecuteNonQuery());
                if (deleted != hour.JournalMicroseconds.Count)
                {
                    throw new StoreException($"The journal of '{hour.PseId}' changed while an hour of it was packed; nothing was written.");
                }
            }

            return true;
        },
        cancellationToken);

    private static StoredBlock ReadBlock(SqliteDataReader reader) =>
        new(new BlockRow(reader.GetString(0), reader.GetInt64(1), reader.GetInt32(2)), reader.GetFieldValue<byte[]>(3));

    private static StoredPoll ReadPoll(SqliteDataReader reader) => new(
        new PollRow(
            reader.GetString(0),
            reader.GetInt64(1),
            (PollOutcome)reader.GetInt64(2),
            reader.IsDBNull(3) ? "" : reader.GetString(3),
            reader.IsDBNull(4) ? 0 : reader.GetInt64(4)),
        reader.GetFieldValue<byte[]>(5));
}
