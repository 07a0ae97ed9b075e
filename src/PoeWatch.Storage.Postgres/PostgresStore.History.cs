using System.Collections.Immutable;
using System.Runtime.CompilerServices;
using Npgsql;
using NpgsqlTypes;
using PoeWatch.Domain.Readings;
using PoeWatch.Monitoring.Storage;

namespace PoeWatch.Storage.Postgres;

/// <content>Draw history: one row per poll.</content>
public sealed partial class PostgresStore
{
    // A page is one short read: a slow reader holds neither a connection nor memory.
    private const int PageRows = 500;

    private const string PollColumns = "p.name, q.at, q.outcome, q.detail, q.names_id, q.payload";

    /// <inheritdoc/>
    public async Task AppendAsync(IReadOnlyList<SwitchReading> readings, CancellationToken cancellationToken)
    {
        if (readings.Count == 0)
        {
            return;
        }

        try
        {
            var written = await GuardAsync(() => InsertAsync(readings, cancellationToken));
            if (written < readings.Count)
            {
                LogRepeated(readings.Count - written, readings.Count);
            }
        }
        catch (Monitoring.Abstractions.StoreException)
        {
            // A backup may have been restored under us: ask for the numbers again.
            ForgetNumbers();
            throw;
        }
    }

    /// <inheritdoc/>
    public async IAsyncEnumerable<SwitchReading> ReadAsync(
        string pseId, DateTimeOffset from, DateTimeOffset to, [EnumeratorCancellation] CancellationToken cancellationToken)
    {
        const string Sql =
            $"""
            SELECT {PollColumns} FROM pse p JOIN poll q ON q.pse_id = p.id
            WHERE p.name = $1 AND q.at >= $2 AND q.at <= $3 ORDER BY q.at LIMIT $4
            """;
        var next = PostgresTime.Of(from);
        var end = PostgresTime.Of(to);
        var names = new Dictionary<int, ImmutableDictionary<PsePortRef, string>>();
        while (true)
        {
            var page = await RowsAsync(Sql, StoredPoll.Read, cancellationToken, pseId, next, end, PageRows);
            foreach (var poll in page)
            {
                var reading = await DecodeAsync(poll, names, cancellationToken);

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

            next = page[^1].At.AddMicroseconds(1);
        }
    }

    /// <inheritdoc/>
    public async Task<IReadOnlyList<SwitchReading>> ReadLatestAsync(CancellationToken cancellationToken)
    {
        const string Sql =
            $"""
            SELECT {PollColumns} FROM pse p
            CROSS JOIN LATERAL (SELECT * FROM poll WHERE pse_id = p.id ORDER BY at DESC LIMIT 1) q
            ORDER BY p.name
            """;
        var readings = new List<SwitchReading>();
        foreach (var poll in await RowsAsync(Sql, StoredPoll.Read, cancellationToken))
        {
            readings.Add(await DecodeAsync(poll, [], cancellationToken));
        }

        return readings;
    }

    // One statement, so all or nothing; what is there already is left as it is. Arrays, not COPY: COPY knows no ON CONFLICT.
    private async Task<int> InsertAsync(IReadOnlyList<SwitchReading> readings, CancellationToken cancellationToken)
    {
        var count = readings.Count;
        var pseIds = await NumbersOfElementsAsync(readings, cancellationToken);
        var (times, namesIds, outcomes) = (new DateTime[count], new int?[count], new short[count]);
        var (details, payloads) = (new string?[count], new byte[count][]);
        var namesId = 0;
        for (var i = 0; i < count; i++)
        {
            var reading = readings[i];
            if (i == 0 || !ReferenceEquals(reading.InterfaceNames, readings[i - 1].InterfaceNames))
            {
                namesId = await NumberOfNamesAsync(reading.InterfaceNames, cancellationToken);
            }

            var row = PollRow.Of(reading, namesId);
            times[i] = PostgresTime.Of(reading.At);
            namesIds[i] = namesId == 0 ? null : namesId;
            outcomes[i] = (short)row.Outcome;
            details[i] = row.Detail.Length == 0 ? null : row.Detail;
            payloads[i] = SwitchReadingCodec.Encode(reading, row);
        }

        await using var command = _source.CreateCommand(
            """
            INSERT INTO poll (pse_id, at, names_id, outcome, detail, payload)
            SELECT * FROM unnest($1, $2, $3, $4, $5, $6) ON CONFLICT DO NOTHING
            """);
        Add(NpgsqlDbType.Integer, pseIds);
        Add(NpgsqlDbType.TimestampTz, times);
        Add(NpgsqlDbType.Integer, namesIds);
        Add(NpgsqlDbType.Smallint, outcomes);
        Add(NpgsqlDbType.Text, details);
        Add(NpgsqlDbType.Bytea, payloads);
        return await command.ExecuteNonQueryAsync(cancellationToken);

        void Add(NpgsqlDbType type, object value) =>
            command.Parameters.Add(new NpgsqlParameter { NpgsqlDbType = NpgsqlDbType.Array | type, Value = value });
    }

    private async Task<SwitchReading> DecodeAsync(
        StoredPoll poll, Dictionary<int, ImmutableDictionary<PsePortRef, string>> known, CancellationToken cancellationToken)
    {
        var names = ImmutableDictionary<PsePortRef, string>.Empty;
        if (poll.NamesId != 0 && !known.TryGetValue(poll.NamesId, out names!))
        {
            names = await NamesAsync(poll.NamesId, poll.PseId, cancellationToken);
            known.Add(poll.NamesId, names);
        }

        var row = new PollRow(poll.PseId, StoreTime.ToMicroseconds(poll.At), poll.Outcome, poll.Detail, poll.NamesId);
        return SwitchReadingCodec.Decode(row, poll.Payload, names);
    }

    private readonly record struct StoredPoll(string PseId, DateTime At, PollOutcome Outcome, string Detail, int NamesId, byte[] Payload)
    {
        internal static StoredPoll Read(NpgsqlDataReader reader) => new(
            reader.GetString(0),
            reader.GetDateTime(1),
            (PollOutcome)reader.GetInt16(2),
            reader.IsDBNull(3) ? "" : reader.GetString(3),
            reader.IsDBNull(4) ? 0 : reader.GetInt32(4),
            reader.GetFieldValue<byte[]>(5));
    }
}
