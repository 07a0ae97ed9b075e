using System.Runtime.CompilerServices;
using Microsoft.Data.Sqlite;
using PoeWatch.Domain.Rollups;
using PoeWatch.Monitoring.Abstractions;
using PoeWatch.Monitoring.Storage;

namespace PoeWatch.Storage.Sqlite;

/// <content>Rollups: one row per subject, step and day.</content>
public sealed partial class SqliteStore : IRollupStore
{
    // Of each table that many rows are read at a time: a page is one short read.
    private const int RollupPageRows = 200;

    private const string SelectRollups =
        "SELECT s.id, s.kind, s.name, r.step, r.start_us, r.until_us, r.payload FROM rollup_subject s JOIN rollup r ON r.subject_id = s.id";

    /// <inheritdoc/>
    public async Task SaveRollupsAsync(IReadOnlyList<RollupBlock> blocks, CancellationToken cancellationToken)
    {
        if (blocks.Count > 0)
        {
            await WriteAsync((connection, _) => SaveRollups(connection, blocks, cancellationToken), cancellationToken);
        }
    }

    /// <inheritdoc/>
    public async IAsyncEnumerable<RollupBlock> ReadRollupsAsync(
        RollupSubject subject, RollupStep step, DateTimeOffset from, DateTimeOffset to, [EnumeratorCancellation] CancellationToken cancellationToken)
    {
        var after = StoreTime.ToMicroseconds(from - IRollupStore.BlockMax);
        while (true)
        {
            var page = await RollupsAsync(
                "WHERE s.kind = $1 AND s.name = $2 AND r.step = $3 AND r.start_us > $4 AND r.start_us < $5 AND r.until_us > $6 ORDER BY r.start_us",
                cancellationToken,
                (long)subject.Kind, subject.Name, (long)step, after, StoreTime.ToMicroseconds(to), StoreTime.ToMicroseconds(from));
            foreach (var (_, block) in page)
            {
                yield return block;
            }

            if (page.Count < RollupPageRows)
            {
                yield break;
            }

            after = StoreTime.ToMicroseconds(page[^1].Block.Start);
        }
    }

    /// <inheritdoc/>
    public async IAsyncEnumerable<RollupBlock> ReadRollupsAsync(
        RollupKind kind, RollupStep step, DateTimeOffset from, DateTimeOffset to, [EnumeratorCancellation] CancellationToken cancellationToken)
    {
        var (subject, after) = (0L, 0L);
        while (true)
        {
            var page = await RollupsAsync(
                """
                WHERE s.kind = $1 AND s.id >= $2 AND r.step = $3 AND r.start_us > $4 AND r.start_us < $5 AND r.until_us > $6
                AND (s.id > $2 OR r.start_us > $7) ORDER BY s.id, r.start_us
                """,
                cancellationToken,
                (long)kind, subject, (long)step, StoreTime.ToMicroseconds(from - IRollupStore.BlockMax), StoreTime.ToMicroseconds(to),
                StoreTime.ToMicroseconds(from), after);
            foreach (var (_, block) in page)
            {
                yield return block;
            }

            if (page.Count < RollupPageRows)
            {
                yield break;
            }

            (subject, after) = (page[^1].Subject, StoreTime.ToMicroseconds(page[^1].Block.Start));
        }
    }

    /// <inheritdoc/>
    public Task<RollupFrontier> ReadRollupFrontierAsync(CancellationToken cancellationToken) => ReadAsync(
        connection =>
        {
            using var command = connection.Command("SELECT step, until_us FROM rollup_frontier");
            var rows = command.Rows(r => (Step: (RollupStep)r.GetInt64(0), Until: StoreTime.FromMicroseconds(r.GetInt64(1))), cancellationToken);
            return new RollupFrontier(Of(RollupStep.Hour), Of(RollupStep.Day));

            DateTimeOffset? Of(RollupStep step) => rows.Where(r => r.Step == step).Select(r => (DateTimeOffset?)r.Until).FirstOrDefault();
        },
        cancellationToken);

    /// <inheritdoc/>
    public async Task SaveRollupFrontierAsync(RollupFrontier frontier, CancellationToken cancellationToken) => await WriteAsync(
        (connection, _) =>
        {
            foreach (var (step, until) in new[] { (RollupStep.Hour, frontier.Hours), (RollupStep.Day, frontier.Days) })
            {
                if (until is { } time)
                {
                    using var command = connection.Command(
                        "INSERT INTO rollup_frontier (step, until_us) VALUES ($1, $2) ON CONFLICT (step) DO UPDATE SET until_us = excluded.until_us",
                        (long)step,
                        StoreTime.ToMicroseconds(time));
                    command.ExecuteNonQuery();
                }
            }

            return true;
        },
        cancellationToken);

    /// <inheritdoc/>
    public async Task NoteLateHoursAsync(IReadOnlyCollection<LateHour> hours, CancellationToken cancellationToken) =>
        await EachLateHourAsync("INSERT INTO rollup_late (name, hour_us) VALUES ($1, $2) ON CONFLICT DO NOTHING", hours, cancellationToken);

    /// <inheritdoc/>
    public Task<IReadOnlyList<LateHour>> ReadLateHoursAsync(CancellationToken cancellationToken) => ReadAsync<IReadOnlyList<LateHour>>(
        connection =>
        {
            using var command = connection.Command("SELECT name, hour_us FROM rollup_late ORDER BY hour_us, name");
            return command.Rows(r => new LateHour(r.GetString(0), StoreTime.FromMicroseconds(r.GetInt64(1))), cancellationToken);
        },
        cancellationToken);

    /// <inheritdoc/>
    public async Task ForgetLateHoursAsync(IReadOnlyCollection<LateHour> hours, CancellationToken cancellationToken) =>
        await EachLateHourAsync("DELETE FROM rollup_late WHERE name = $1 AND hour_us = $2", hours, cancellationToken);

    /// <inheritdoc/>
    public async Task DropRollupsAsync(RollupStep step, DateTimeOffset before, CancellationToken cancellationToken)
    {
        while (await WriteAsync((connection, _) => DropRollups(connection, step, StoreTime.ToMicroseconds(before)), cancellationToken) > 0)
        {
        }
    }

    // Subject by subject the key finds what is old enough, so that rows that stay are not looked at.
    private static int DropRollups(SqliteConnection connection, RollupStep step, long before)
    {
        using var command = connection.Command(
            $"""
            DELETE FROM rollup WHERE (subject_id, step, start_us) IN (
                SELECT r.subject_id, r.step, r.start_us FROM rollup_subject s JOIN rollup r ON r.subject_id = s.id
                WHERE r.step = $1 AND r.start_us < $2 AND r.until_us <= $2 LIMIT {RollupPageRows})
            """,
            (long)step,
            before);
        return command.ExecuteNonQuery();
    }

    private async Task EachLateHourAsync(string sql, IReadOnlyCollection<LateHour> hours, CancellationToken cancellationToken) => await WriteAsync(
        (connection, _) =>
        {
            using var command = connection.Command(sql, "", 0L);
            foreach (var late in hours)
            {
                command.With(late.PseId, StoreTime.ToMicroseconds(late.Hour)).ExecuteNonQuery();
            }

            return true;
        },
        cancellationToken);

    private static bool SaveRollups(SqliteConnection connection, IReadOnlyList<RollupBlock> blocks, CancellationToken cancellationToken)
    {
        using var clear = connection.Command("DELETE FROM rollup WHERE subject_id = $1 AND step = $2 AND start_us >= $3 AND start_us < $4", 0L, 0L, 0L, 0L);
        using var insert = connection.Command(
            "INSERT INTO rollup (subject_id, step, start_us, until_us, payload) VALUES ($1, $2, $3, $4, $5)", 0L, 0L, 0L, 0L, Array.Empty<byte>());
        using var number = connection.Command(
            "INSERT INTO rollup_subject (kind, name) VALUES ($1, $2) ON CONFLICT DO NOTHING; SELECT id FROM rollup_subject WHERE kind = $1 AND name = $2", 0L, "");
        foreach (var block in blocks)
        {
            cancellationToken.ThrowIfCancellationRequested();
            var id = (long)number.With((long)block.Subject.Kind, block.Subject.Name).ExecuteScalar()!;
            var (start, end) = (StoreTime.ToMicroseconds(block.Start), StoreTime.ToMicroseconds(block.End));
            clear.With(id, (long)block.Step, start, end).ExecuteNonQuery();
            insert.With(id, (long)block.Step, start, end, block.Payload.ToArray()).ExecuteNonQuery();
        }

        return true;
    }

    private Task<List<(long Subject, RollupBlock Block)>> RollupsAsync(string where, CancellationToken cancellationToken, params object[] values) => ReadAsync(
        connection =>
        {
            using var command = connection.Command($"{SelectRollups} {where} LIMIT {RollupPageRows}", values);
            return command.Rows(
                r => (r.GetInt64(0), new RollupBlock(
                    new RollupSubject((RollupKind)r.GetInt64(1), r.GetString(2)),
                    (RollupStep)r.GetInt64(3),
                    StoreTime.FromMicroseconds(r.GetInt64(4)),
                    StoreTime.FromMicroseconds(r.GetInt64(5)),
                    r.GetFieldValue<byte[]>(6))),
                cancellationToken);
        },
        cancellationToken);
}
