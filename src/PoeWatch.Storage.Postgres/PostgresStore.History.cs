using Npgsql;
using NpgsqlTypes;
using PoeWatch.Domain.Readings;
using PoeWatch.Monitoring.Abstractions;
using PoeWatch.Monitoring.Storage;

namespace PoeWatch.Storage.Postgres;

/// <content>Draw history: what is polled goes to the journal, a row per poll.</content>
public sealed partial class PostgresStore
{
    /// <inheritdoc/>
    public async Task AppendAsync(IReadOnlyList<SwitchReading> readings, CancellationToken cancellationToken)
    {
        if (readings.Count == 0)
        {
            return;
        }

        try
        {
            var written = await GuardAsync(async () =>
            {
                await _lock.HoldAsync(cancellationToken);
                return await InsertAsync(readings, cancellationToken);
            });
            if (written < readings.Count)
            {
                LogRepeated(readings.Count - written, readings.Count);
            }
        }
        catch (StoreException)
        {
            // A backup may have been restored under us: ask for the numbers again.
            ForgetNumbers();
            throw;
        }
    }

    /// <inheritdoc/>
    public IAsyncEnumerable<SwitchReading> ReadAsync(string pseId, DateTimeOffset from, DateTimeOffset to, CancellationToken cancellationToken) =>
        _reader.ReadAsync(pseId, from, to, cancellationToken);

    /// <inheritdoc/>
    public IAsyncEnumerable<PortHistoryPage> ReadPortsAsync(
        string pseId, IReadOnlyList<PsePortRef> ports, DateTimeOffset from, DateTimeOffset to, CancellationToken cancellationToken) =>
        _reader.ReadPortsAsync(pseId, ports, from, to, cancellationToken);

    /// <inheritdoc/>
    public Task<IReadOnlyList<SwitchReading>> ReadLatestAsync(CancellationToken cancellationToken) => _reader.ReadLatestAsync(cancellationToken);

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
}
