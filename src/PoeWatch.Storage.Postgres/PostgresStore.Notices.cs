using Npgsql;
using NpgsqlTypes;
using PoeWatch.Domain.Notices;
using PoeWatch.Monitoring.Abstractions;
using PoeWatch.Monitoring.Storage;

namespace PoeWatch.Storage.Postgres;

/// <content>The outbox.</content>
public sealed partial class PostgresStore : INoticeStore
{
    private const string SelectNotice = "SELECT id, lane, content, due_at, is_held, state, attempts, tried_at, problem FROM notice";

    private const string InsertNotice =
        """
        INSERT INTO notice (lane, post_key, resource, at, due_at, is_held, state, attempts, tried_at, problem, content)
        VALUES ($1, $2, $3, $4, $5, $6, 1, 0, NULL, '', $7) ON CONFLICT DO NOTHING
        """;

    private const string SelectChanges = "SELECT resource, type, at, kind, severity, who, text, quiet_because, id FROM alarm_change WHERE id > $1 ORDER BY id LIMIT $2";

    /// <inheritdoc/>
    public async Task<LaneState> OpenLaneAsync(NoticeLane lane, DateTimeOffset now, CancellationToken cancellationToken)
    {
        await ExecuteAsync(
            [
                Command(
                    "INSERT INTO notice_lane (name, read_to, opened_at) SELECT $1, (SELECT coalesce(max(id), 0) FROM alarm_change), $2 ON CONFLICT DO NOTHING",
                    lane.ToString(), PostgresTime.Of(now)),
            ],
            cancellationToken);
        var told = await RowsAsync(
            "SELECT resource, type, severity, raised_at FROM told_alarm WHERE lane = $1 ORDER BY resource COLLATE \"C\", type COLLATE \"C\"",
            r => NoticeRow.Told(r.GetString(0), r.GetString(1), r.GetInt16(2), r.GetDateTime(3)),
            cancellationToken, lane.ToString());
        return (await RowsAsync(
            "SELECT read_to, opened_at FROM notice_lane WHERE name = $1",
            r => new LaneState(lane, r.GetInt64(0), r.GetDateTime(1), [.. told]),
            cancellationToken, lane.ToString()))[0];
    }

    /// <inheritdoc/>
    public async Task<IReadOnlyList<NumberedChange>> ReadChangesAfterAsync(long number, int max, CancellationToken cancellationToken)
    {
        // A number is drawn before its transaction ends, so a lower one may appear later. Where there is something to read, writers under way are waited
        // for first; new ones wait for this read.
        var seen = await RowsAsync(SelectChanges, r => r.GetInt64(8), cancellationToken, number, 1);
        return seen.Count == 0 ? [] : await GuardAsync(async () =>
        {
            await using var connection = await _source.OpenConnectionAsync(cancellationToken);
            await using var transaction = await connection.BeginTransactionAsync(cancellationToken);
            await using (var wait = new NpgsqlCommand("LOCK TABLE alarm_change IN SHARE MODE", connection, transaction))
            {
                await wait.ExecuteNonQueryAsync(cancellationToken);
            }

            await using var command = new NpgsqlCommand(SelectChanges, connection, transaction);
            command.Parameters.Add(new NpgsqlParameter { Value = number });
            command.Parameters.Add(new NpgsqlParameter { Value = max });
            var rows = new List<NumberedChange>();
            await using (var reader = await command.ExecuteReaderAsync(cancellationToken))
            {
                while (await reader.ReadAsync(cancellationToken))
                {
                    rows.Add(new NumberedChange(reader.GetInt64(8), ReadChange(reader)));
                }
            }

            await transaction.CommitAsync(cancellationToken);
            return rows;
        });
    }

    /// <inheritdoc/>
    public async Task<bool> StepLaneAsync(LaneStep step, CancellationToken cancellationToken) => await GuardAsync(async () =>
    {
        var lane = step.Lane.ToString();
        await using var connection = await _source.OpenConnectionAsync(cancellationToken);
        await using var transaction = await connection.BeginTransactionAsync(cancellationToken);
        await using (var move = new NpgsqlCommand("UPDATE notice_lane SET read_to = $3 WHERE name = $1 AND read_to = $2", connection, transaction))
        {
            move.Parameters.AddRange(new NpgsqlParameter[] { new() { Value = lane }, new() { Value = step.From }, new() { Value = step.To } });
            if (await move.ExecuteNonQueryAsync(cancellationToken) == 0)
            {
                return false;
            }
        }

        await using var batch = new NpgsqlBatch(connection, transaction);
        foreach (var command in StepCommands(step, lane))
        {
            batch.BatchCommands.Add(command);
        }

        if (batch.BatchCommands.Count > 0)
        {
            await batch.ExecuteNonQueryAsync(cancellationToken);
        }

        await transaction.CommitAsync(cancellationToken);
        return true;
    });

    /// <inheritdoc/>
    public async Task PostNoticesAsync(IReadOnlyList<NewNotice> notices, CancellationToken cancellationToken) =>
        await ExecuteAsync([.. notices.Select(Insert)], cancellationToken);

    /// <inheritdoc/>
    public async Task<IReadOnlyList<Notice>> ReadDueAsync(NoticeLane lane, DateTimeOffset now, int max, CancellationToken cancellationToken) => await RowsAsync(
        $"{SelectNotice} WHERE state = 1 AND lane = $1 AND due_at <= $2 ORDER BY id LIMIT $3", ReadNotice, cancellationToken, lane.ToString(), PostgresTime.Of(now), max);

    /// <inheritdoc/>
    public async Task NoteAttemptAsync(IReadOnlyList<long> ids, NoticeState state, DateTimeOffset at, string problem, CancellationToken cancellationToken)
    {
        var command = Command("UPDATE notice SET state = $1, attempts = attempts + 1, tried_at = $2, problem = $3 WHERE id = ANY ($4) AND state = 1", (short)state, PostgresTime.Of(at), StoreText.Clean(problem));
        command.Parameters.Add(Array(NpgsqlDbType.Bigint, ids.ToArray()));
        await ExecuteAsync([command], cancellationToken);
    }

    /// <inheritdoc/>
    public async Task<bool> ReviveAsync(long id, DateTimeOffset now, CancellationToken cancellationToken) => await ExecuteAsync(
        [Command("UPDATE notice SET state = 1, attempts = 0, at = $2, due_at = $2, is_held = false, problem = '' WHERE id = $1 AND state = 3", id, PostgresTime.Of(now))],
        cancellationToken) > 0;

    /// <inheritdoc/>
    public async Task<IReadOnlyList<Notice>> ReadNoticesAsync(NoticeState? state, long? below, int max, CancellationToken cancellationToken) => await RowsAsync(
        $"{SelectNotice} WHERE ($1 = 0 OR state = $1) AND id < $2 ORDER BY id DESC LIMIT $3",
        ReadNotice, cancellationToken, (short)(state ?? NoticeState.Unknown), below ?? long.MaxValue, max);

    /// <inheritdoc/>
    public async Task<Notice?> FindNoticeAsync(long id, CancellationToken cancellationToken) =>
        (await RowsAsync($"{SelectNotice} WHERE id = $1", ReadNotice, cancellationToken, id)).SingleOrDefault();

    /// <inheritdoc/>
    public async Task<IReadOnlyList<NoticeCount>> CountNoticesAsync(CancellationToken cancellationToken) => await RowsAsync(
        "SELECT lane, state, count(*), min(at) FROM notice WHERE state <> 2 GROUP BY lane, state ORDER BY lane COLLATE \"C\", state",
        r => new NoticeCount(NoticeLane.Parse(r.GetString(0)), (NoticeState)r.GetInt16(1), (int)r.GetInt64(2), r.GetDateTime(3)),
        cancellationToken);

    /// <inheritdoc/>
    public async Task<NoticesTidied> TidyNoticesAsync(NoticeTidying tidying, CancellationToken cancellationToken)
    {
        var givenUp = await ExecuteAsync(
            [
                Command(
                    "UPDATE notice SET state = 3, problem = CASE problem WHEN '' THEN $2 ELSE $2 || ' ' || problem END WHERE state = 1 AND at < $1 AND due_at < $1",
                    PostgresTime.Of(tidying.GiveUpBefore), tidying.Reason),
            ],
            cancellationToken);
        var forgotten = await ExecuteAsync(
            [Command("DELETE FROM notice WHERE (state = 2 AND tried_at < $1) OR (state = 3 AND at < $1)", PostgresTime.Of(tidying.ForgetBefore))], cancellationToken);
        var dead = await ExecuteAsync(
            [Command("DELETE FROM notice WHERE state = 3 AND id <= (SELECT id FROM notice WHERE state = 3 ORDER BY id DESC LIMIT 1 OFFSET $1)", (long)tidying.DeadMax)],
            cancellationToken);
        return new NoticesTidied(givenUp, forgotten, dead);
    }

    private static IEnumerable<NpgsqlBatchCommand> StepCommands(LaneStep step, string lane) =>
    [
        .. step.Notices.Select(Insert),
        .. step.Notices.Where(n => !n.IsHeld).Select(n => n.Content.Resource).Distinct().Select(resource => Command(
            "UPDATE notice SET due_at = $3 WHERE lane = $1 AND resource = $2 AND state = 1 AND is_held AND due_at > $3",
            lane, StoreText.Clean(resource), PostgresTime.Of(step.At))),
        .. step.Told.Select(told => Command(
            """
            INSERT INTO told_alarm (lane, resource, type, severity, raised_at) VALUES ($1, $2, $3, $4, $5)
            ON CONFLICT (lane, resource, type) DO UPDATE SET severity = excluded.severity, raised_at = excluded.raised_at
            """,
            lane, told.Key.Resource, told.Key.Type, (short)told.Severity, PostgresTime.Of(told.RaisedAt))),
        .. step.Untold.Select(key => Command("DELETE FROM told_alarm WHERE lane = $1 AND resource = $2 AND type = $3", lane, key.Resource, key.Type)),
    ];

    private static NpgsqlBatchCommand Insert(NewNotice notice) => Command(
        InsertNotice,
        notice.Lane.ToString(),
        StoreText.Clean(notice.PostKey),
        StoreText.Clean(notice.Content.Resource),
        PostgresTime.Of(notice.Content.At),
        PostgresTime.Of(notice.DueAt),
        notice.IsHeld,
        NoticeRow.Pack(notice.Content));

    private async Task<int> ExecuteAsync(IReadOnlyList<NpgsqlBatchCommand> commands, CancellationToken cancellationToken) => commands.Count == 0 ? 0 : await GuardAsync(async () =>
    {
        await using var connection = await _source.OpenConnectionAsync(cancellationToken);
        await using var transaction = await connection.BeginTransactionAsync(cancellationToken);
        await using var batch = new NpgsqlBatch(connection, transaction);
        foreach (var command in commands)
        {
            batch.BatchCommands.Add(command);
        }

        var rows = await batch.ExecuteNonQueryAsync(cancellationToken);
        await transaction.CommitAsync(cancellationToken);
        return rows;
    });

    private static Notice ReadNotice(NpgsqlDataReader reader) => new(
        reader.GetInt64(0),
        NoticeLane.Parse(reader.GetString(1)),
        NoticeRow.Unpack(reader.GetString(2)),
        reader.GetDateTime(3),
        reader.GetBoolean(4),
        (NoticeState)reader.GetInt16(5),
        reader.GetInt32(6),
        reader.IsDBNull(7) ? null : reader.GetDateTime(7),
        reader.GetString(8));
}
