using System.Collections.Immutable;
using Npgsql;
using NpgsqlTypes;
using PoeWatch.Domain.Readings;
using PoeWatch.Monitoring.Abstractions;
using PoeWatch.Monitoring.Storage;
using PoeWatch.Monitoring.Storage.Blocks;

namespace PoeWatch.Storage.Postgres;

/// <summary>The statements over journal and blocks.</summary>
internal sealed class PostgresPages(PostgresStore store) : IHistoryPages
{
    private const string PollColumns = "p.name, q.at, q.outcome, q.detail, q.names_id, q.payload";

    // One statement, so one snapshot: a poll that is being packed is in the one half or in the other. Which half a row is of shows in its part.
    private const string Page =
        """
        (SELECT b.hour AS at, b.part::int AS part, NULL::smallint, NULL::text, NULL::int, b.payload FROM block b
         WHERE b.pse_id = (SELECT id FROM pse WHERE name = $1) AND b.hour >= $2 AND b.hour <= $4 ORDER BY b.hour, b.part LIMIT $5)
        UNION ALL
        (SELECT q.at, -1, q.outcome, q.detail, q.names_id, q.payload FROM poll q
         WHERE q.pse_id = (SELECT id FROM pse WHERE name = $1) AND q.at >= $3 AND q.at <= $4 ORDER BY q.at LIMIT $6)
        ORDER BY 1, 2
        """;

    public async Task<HistoryPage> ReadPageAsync(string pseId, long from, long to, int blocksMax, int pollsMax, CancellationToken cancellationToken)
    {
        var (blocks, polls) = (new List<StoredBlock>(), new List<StoredPoll>());
        await store.RowsAsync(
            Page,
            r =>
            {
                if (r.GetInt32(1) is var part and >= 0)
                {
                    blocks.Add(new StoredBlock(new BlockRow(pseId, Microseconds(r.GetDateTime(0)), part), r.GetFieldValue<byte[]>(5)));
                }
                else
                {
                    polls.Add(new StoredPoll(Row(r, pseId, 0, 2), r.GetFieldValue<byte[]>(5)));
                }

                return true;
            },
            cancellationToken,
            pseId,
            Time(BlockRow.HourOf(from)),
            Time(from),
            Time(to),
            blocksMax,
            pollsMax);
        return new HistoryPage(blocks, polls);
    }

    public Task<ImmutableDictionary<PsePortRef, string>> ReadNamesAsync(long namesId, string pseId, CancellationToken cancellationToken) =>
        store.NamesAsync(checked((int)namesId), pseId, cancellationToken);

    public async Task<IReadOnlyList<NewestOf>> ReadNewestAsync(CancellationToken cancellationToken) => await store.RowsAsync(
        $"""
        SELECT {PollColumns}, (SELECT max(hour) FROM block WHERE pse_id = p.id) FROM pse p
        LEFT JOIN LATERAL (SELECT * FROM poll WHERE pse_id = p.id ORDER BY at DESC LIMIT 1) q ON true
        ORDER BY p.name
        """,
        r => new NewestOf(
            r.GetString(0),
            r.IsDBNull(1) ? null : new StoredPoll(Row(r, r.GetString(0), 1, 2), r.GetFieldValue<byte[]>(5)),
            r.IsDBNull(6) ? null : Microseconds(r.GetDateTime(6))),
        cancellationToken);

    public async Task<IReadOnlyList<(string PseId, long Oldest)>> FindOldestAsync(
        long before, IReadOnlyDictionary<string, long> from, CancellationToken cancellationToken)
    {
        var oldest = await store.RowsAsync(
            "SELECT p.name, (SELECT min(at) FROM poll WHERE pse_id = p.id) FROM pse p ORDER BY p.name",
            r => (Name: r.GetString(0), At: r.IsDBNull(1) ? long.MaxValue : Microseconds(r.GetDateTime(1))),
            cancellationToken);
        for (var i = 0; i < oldest.Count; i++)
        {
            if (from.TryGetValue(oldest[i].Name, out var start))
            {
                var later = await store.RowsAsync(
                    "SELECT min(q.at) FROM poll q JOIN pse p ON p.id = q.pse_id WHERE p.name = $1 AND q.at >= $2",
                    r => r.IsDBNull(0) ? long.MaxValue : Microseconds(r.GetDateTime(0)),
                    cancellationToken,
                    oldest[i].Name,
                    Time(start));
                oldest[i] = (oldest[i].Name, later[0]);
            }
        }

        return oldest.FindAll(o => o.At < before);
    }

    public Task WritePackedAsync(IReadOnlyList<PackedHour> hours, CancellationToken cancellationToken) => store.GuardAsync(async () =>
    {
        var blocks = hours.SelectMany(h => h.Blocks).ToArray();
        await store.EnsurePartitionsAsync(blocks.Select(b => Time(b.Row.HourMicroseconds)), cancellationToken);
        var journal = hours.SelectMany(h => h.JournalMicroseconds.Select(at => (h.PseId, At: Time(at)))).ToArray();
        await using var connection = await store.Source.OpenConnectionAsync(cancellationToken);
        await using var transaction = await connection.BeginTransactionAsync(cancellationToken);
        await using var insert = new NpgsqlCommand(
            """
            INSERT INTO block (pse_id, hour, part, payload)
            SELECT p.id, w.hour, w.part, w.payload FROM unnest($1, $2, $3, $4) w (name, hour, part, payload) JOIN pse p ON p.name = w.name
            """,
            connection,
            transaction)
        {
            Parameters =
            {
                Array(NpgsqlDbType.Text, blocks.Select(b => b.Row.PseId).ToArray()),
                Array(NpgsqlDbType.TimestampTz, blocks.Select(b => Time(b.Row.HourMicroseconds)).ToArray()),
                Array(NpgsqlDbType.Smallint, blocks.Select(b => checked((short)b.Row.Part)).ToArray()),
                Array(NpgsqlDbType.Bytea, blocks.Select(b => b.Payload).ToArray()),
            },
        };
        await insert.ExecuteNonQueryAsync(cancellationToken);
        await using var delete = new NpgsqlCommand(
            "DELETE FROM poll q USING unnest($1, $2) w (name, at), pse p WHERE p.name = w.name AND q.pse_id = p.id AND q.at = w.at", connection, transaction)
        {
            Parameters =
            {
                Array(NpgsqlDbType.Text, journal.Select(j => j.PseId).ToArray()),
                Array(NpgsqlDbType.TimestampTz, journal.Select(j => j.At).ToArray()),
            },
        };
        if (await delete.ExecuteNonQueryAsync(cancellationToken) != journal.Length)
        {
            throw new StoreException("The journal changed while hours of it were packed; nothing was written.");
        }

        await transaction.CommitAsync(cancellationToken);
        return true;
    });

    private static PollRow Row(NpgsqlDataReader reader, string pseId, int time, int rest) => new(
        pseId,
        Microseconds(reader.GetDateTime(time)),
        (PollOutcome)reader.GetInt16(rest),
        reader.IsDBNull(rest + 1) ? "" : reader.GetString(rest + 1),
        reader.IsDBNull(rest + 2) ? 0 : reader.GetInt32(rest + 2));

    private static NpgsqlParameter Array(NpgsqlDbType type, object value) => new() { NpgsqlDbType = NpgsqlDbType.Array | type, Value = value };

    private static long Microseconds(DateTime time) => StoreTime.ToMicroseconds(time);

    // The calendar's ends stand for infinity, as in PostgresTime.
    private static DateTime Time(long microseconds) => PostgresTime.Of(microseconds);
}
