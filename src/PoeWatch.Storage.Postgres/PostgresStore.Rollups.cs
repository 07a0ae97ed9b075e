using System.Runtime.CompilerServices;
using Npgsql;
using NpgsqlTypes;
using PoeWatch.Domain.Rollups;
using PoeWatch.Monitoring.Abstractions;

namespace PoeWatch.Storage.Postgres;

/// <content>Rollups: one row per subject, step and day.</content>
public sealed partial class PostgresStore : IRollupStore
{
    // That many rows are read at a time: a page is one short read.
    private const int RollupPageRows = 200;

    private const string SelectRollups =
        "SELECT s.id, s.kind, s.name, r.step, r.start, r.until, r.payload FROM rollup_subject s JOIN rollup r ON r.subject_id = s.id";

    /// <inheritdoc/>
    public async Task SaveRollupsAsync(IReadOnlyList<RollupBlock> blocks, CancellationToken cancellationToken)
    {
        if (blocks.Count > 0)
        {
            await GuardAsync(() => InsertRollupsAsync(blocks, cancellationToken));
        }
    }

    /// <inheritdoc/>
    public async IAsyncEnumerable<RollupBlock> ReadRollupsAsync(
        RollupSubject subject, RollupStep step, DateTimeOffset from, DateTimeOffset to, [EnumeratorCancellation] CancellationToken cancellationToken)
    {
        var after = PostgresTime.Of(from - IRollupStore.BlockMax);
        while (true)
        {
            var page = await RowsAsync(
                $"""
                {SelectRollups} WHERE s.kind = $1 AND s.name = $2 AND r.step = $3 AND r.start > $4 AND r.start < $5 AND r.until > $6
                ORDER BY r.start LIMIT {RollupPageRows}
                """,
                ReadRollup, cancellationToken,
                (short)subject.Kind, subject.Name, (short)step, after, PostgresTime.Of(to), PostgresTime.Of(from));
            foreach (var (_, block) in page)
            {
                yield return block;
            }

            if (page.Count < RollupPageRows)
            {
                yield break;
            }

            after = PostgresTime.Of(page[^1].Block.Start);
        }
    }

    /// <inheritdoc/>
    public async IAsyncEnumerable<RollupBlock> ReadRollupsAsync(
        RollupKind kind, RollupStep step, DateTimeOffset from, DateTimeOffset to, [EnumeratorCancellation] CancellationToken cancellationToken)
    {
        var (subject, after) = (0, PostgresTime.Of(DateTimeOffset.MinValue));
        while (true)
        {
            // Subject by subject over the key: a sort of all rows would not end with the page.
            var page = await RowsAsync(
                $"""
                SELECT s.id, s.kind, s.name, r.step, r.start, r.until, r.payload FROM rollup_subject s
                CROSS JOIN LATERAL (
                    SELECT * FROM rollup WHERE subject_id = s.id AND step = $3 AND start > $4 AND start < $5 AND until > $6 AND (s.id > $2 OR start > $7)
                    ORDER BY start LIMIT {RollupPageRows}) r
                WHERE s.kind = $1 AND s.id >= $2 ORDER BY s.id, r.start LIMIT {RollupPageRows}
                """,
                ReadRollup, cancellationToken,
                (short)kind, subject, (short)step, PostgresTime.Of(from - IRollupStore.BlockMax), PostgresTime.Of(to), PostgresTime.Of(from), after);
            foreach (var (_, block) in page)
            {
                yield return block;
            }

            if (page.Count < RollupPageRows)
            {
                yield break;
            }

            (subject, after) = (page[^1].Subject, PostgresTime.Of(page[^1].Block.Start));
        }
    }

    /// <inheritdoc/>
    public async Task<RollupFrontier> ReadRollupFrontierAsync(CancellationToken cancellationToken)
    {
        var rows = await RowsAsync(
            "SELECT step, until FROM rollup_frontier", r => (Step: (RollupStep)r.GetInt16(0), Until: new DateTimeOffset(r.GetDateTime(1))), cancellationToken);
        return new RollupFrontier(Of(RollupStep.Hour), Of(RollupStep.Day));

        DateTimeOffset? Of(RollupStep step) => rows.Where(r => r.Step == step).Select(r => (DateTimeOffset?)r.Until).FirstOrDefault();
    }

    /// <inheritdoc/>
    public async Task SaveRollupFrontierAsync(RollupFrontier frontier, CancellationToken cancellationToken)
    {
        foreach (var (step, until) in new[] { (RollupStep.Hour, frontier.Hours), (RollupStep.Day, frontier.Days) })
        {
            if (until is { } time)
            {
                await RowsAsync(
                    "INSERT INTO rollup_frontier (step, until) VALUES ($1, $2) ON CONFLICT (step) DO UPDATE SET until = excluded.until",
                    static _ => true, cancellationToken, (short)step, PostgresTime.Of(time));
            }
        }
    }

    /// <inheritdoc/>
    public Task NoteLateHoursAsync(IReadOnlyCollection<LateHour> hours, CancellationToken cancellationToken) => EachLateHourAsync(
        "INSERT INTO rollup_late (name, hour) SELECT * FROM unnest($1, $2) ON CONFLICT DO NOTHING", hours, cancellationToken);

    /// <inheritdoc/>
    public async Task<IReadOnlyList<LateHour>> ReadLateHoursAsync(CancellationToken cancellationToken) => await RowsAsync(
        "SELECT name, hour FROM rollup_late ORDER BY hour, name", r => new LateHour(r.GetString(0), new DateTimeOffset(r.GetDateTime(1))), cancellationToken);

    /// <inheritdoc/>
    public Task ForgetLateHoursAsync(IReadOnlyCollection<LateHour> hours, CancellationToken cancellationToken) => EachLateHourAsync(
        "DELETE FROM rollup_late WHERE (name, hour) IN (SELECT * FROM unnest($1, $2))", hours, cancellationToken);

    /// <inheritdoc/>
    public Task DropRollupsAsync(RollupStep step, DateTimeOffset before, CancellationToken cancellationToken) => GuardAsync(async () =>
    {
        // Subject by subject the key finds what is old enough, so that rows that stay are not looked at.
        await using var command = _source.CreateCommand(
            """
            DELETE FROM rollup WHERE (subject_id, step, start) IN (
                SELECT r.subject_id, r.step, r.start FROM rollup_subject s JOIN rollup r ON r.subject_id = s.id
                WHERE r.step = $1 AND r.start < $2 AND r.until <= $2 LIMIT 1000)
            """);
        command.Parameters.Add(new NpgsqlParameter { Value = (short)step });
        command.Parameters.Add(new NpgsqlParameter { Value = PostgresTime.Of(before) });
        while (await command.ExecuteNonQueryAsync(cancellationToken) > 0)
        {
        }

        return true;
    });

    private Task EachLateHourAsync(string sql, IReadOnlyCollection<LateHour> hours, CancellationToken cancellationToken) => GuardAsync(async () =>
    {
        await using var command = _source.CreateCommand(sql);
        command.Parameters.Add(Array(NpgsqlDbType.Text, hours.Select(h => h.PseId).ToArray()));
        command.Parameters.Add(Array(NpgsqlDbType.TimestampTz, hours.Select(h => PostgresTime.Of(h.Hour)).ToArray()));
        return await command.ExecuteNonQueryAsync(cancellationToken);
    });

    private async Task<bool> InsertRollupsAsync(IReadOnlyList<RollupBlock> blocks, CancellationToken cancellationToken)
    {
        await using var connection = await _source.OpenConnectionAsync(cancellationToken);
        await using var transaction = await connection.BeginTransactionAsync(cancellationToken);
        await ExecuteAsync(
            """
            INSERT INTO rollup_subject (kind, name) SELECT DISTINCT n.kind, n.name FROM unnest($1, $2) n(kind, name)
            WHERE NOT EXISTS (SELECT 1 FROM rollup_subject s WHERE s.kind = n.kind AND s.name = n.name)
            ON CONFLICT DO NOTHING
            """,
            Kinds(), Names());
        await ExecuteAsync(
            """
            DELETE FROM rollup r USING unnest($1, $2, $3, $4, $5) n(kind, name, step, start, until), rollup_subject s
            WHERE s.kind = n.kind AND s.name = n.name AND r.subject_id = s.id AND r.step = n.step AND r.start >= n.start AND r.start < n.until
            """,
            Kinds(), Names(), Steps(), Starts(), Ends());
        await ExecuteAsync(
            """
            INSERT INTO rollup (subject_id, step, start, until, payload)
            SELECT s.id, n.step, n.start, n.until, n.payload FROM unnest($1, $2, $3, $4, $5, $6) n(kind, name, step, start, until, payload)
            JOIN rollup_subject s ON s.kind = n.kind AND s.name = n.name
            """,
            Kinds(), Names(), Steps(), Starts(), Ends(), Array(NpgsqlDbType.Bytea, blocks.Select(b => b.Payload.ToArray()).ToArray()));
        await transaction.CommitAsync(cancellationToken);
        return true;

        NpgsqlParameter Kinds() => Array(NpgsqlDbType.Smallint, blocks.Select(b => (short)b.Subject.Kind).ToArray());
        NpgsqlParameter Names() => Array(NpgsqlDbType.Text, blocks.Select(b => b.Subject.Name).ToArray());
        NpgsqlParameter Steps() => Array(NpgsqlDbType.Smallint, blocks.Select(b => (short)b.Step).ToArray());
        NpgsqlParameter Starts() => Array(NpgsqlDbType.TimestampTz, blocks.Select(b => PostgresTime.Of(b.Start)).ToArray());
        NpgsqlParameter Ends() => Array(NpgsqlDbType.TimestampTz, blocks.Select(b => PostgresTime.Of(b.End)).ToArray());

        async Task ExecuteAsync(string sql, params NpgsqlParameter[] parameters)
        {
            await using var command = new NpgsqlCommand(sql, connection, transaction);
            command.Parameters.AddRange(parameters);
            await command.ExecuteNonQueryAsync(cancellationToken);
        }
    }

    private static (int Subject, RollupBlock Block) ReadRollup(NpgsqlDataReader reader) => (reader.GetInt32(0), new RollupBlock(
        new RollupSubject((RollupKind)reader.GetInt16(1), reader.GetString(2)),
        (RollupStep)reader.GetInt16(3),
        new DateTimeOffset(reader.GetDateTime(4)),
        new DateTimeOffset(reader.GetDateTime(5)),
        reader.GetFieldValue<byte[]>(6)));
}
