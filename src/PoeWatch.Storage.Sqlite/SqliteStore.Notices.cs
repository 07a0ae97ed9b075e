using Microsoft.Data.Sqlite;
using PoeWatch.Domain.Alarms;
using PoeWatch.Domain.Notices;
using PoeWatch.Monitoring.Abstractions;
using PoeWatch.Monitoring.Storage;

namespace PoeWatch.Storage.Sqlite;

/// <content>The outbox.</content>
public sealed partial class SqliteStore : INoticeStore
{
    private const string SelectNotice = "SELECT id, lane, content, due_at_us, is_held, state, attempts, tried_at_us, problem FROM notice";

    /// <inheritdoc/>
    public async Task<LaneState> OpenLaneAsync(NoticeLane lane, DateTimeOffset now, CancellationToken cancellationToken) => await WriteAsync(
        (connection, _) =>
        {
            using var open = connection.Command(
                "INSERT INTO notice_lane (name, read_to, opened_at_us) SELECT $1, (SELECT coalesce(max(id), 0) FROM alarm_change), $2 WHERE true ON CONFLICT DO NOTHING",
                lane.ToString(), StoreTime.ToMicroseconds(now));
            open.ExecuteNonQuery();
            using var told = connection.Command("SELECT resource, type, severity, raised_at_us FROM told_alarm WHERE lane = $1 ORDER BY resource, type", lane.ToString());
            var alarms = told.Rows(r => NoticeRow.Told(r.GetString(0), r.GetString(1), r.GetInt32(2), StoreTime.FromMicroseconds(r.GetInt64(3))), cancellationToken);
            using var state = connection.Command("SELECT read_to, opened_at_us FROM notice_lane WHERE name = $1", lane.ToString());
            return state.Rows(r => new LaneState(lane, r.GetInt64(0), StoreTime.FromMicroseconds(r.GetInt64(1)), [.. alarms]), cancellationToken)[0];
        },
        cancellationToken);

    /// <inheritdoc/>
    public async Task<IReadOnlyList<NumberedChange>> ReadChangesAfterAsync(long number, int max, CancellationToken cancellationToken) => await ReadAsync(
        connection =>
        {
            using var command = connection.Command(
                "SELECT resource, type, at_us, kind, severity, who, text, quiet_because, id FROM alarm_change WHERE id > $1 ORDER BY id LIMIT $2", number, (long)max);
            return command.Rows(r => new NumberedChange(r.GetInt64(8), ReadChange(r)), cancellationToken);
        },
        cancellationToken);

    /// <inheritdoc/>
    public async Task<bool> StepLaneAsync(LaneStep step, CancellationToken cancellationToken) => await WriteAsync(
        (connection, _) =>
        {
            var lane = step.Lane.ToString();
            using var move = connection.Command("UPDATE notice_lane SET read_to = $3 WHERE name = $1 AND read_to = $2", lane, step.From, step.To);
            if (move.ExecuteNonQuery() == 0)
            {
                return false;
            }

            Post(connection, step.Notices);
            using var release = connection.Command(
                "UPDATE notice SET due_at_us = $3 WHERE lane = $1 AND resource = $2 AND state = 1 AND is_held = 1 AND due_at_us > $3", null, null, null);
            foreach (var resource in step.Notices.Where(n => !n.IsHeld).Select(n => n.Content.Resource).Distinct())
            {
                release.With(lane, StoreText.Clean(resource), StoreTime.ToMicroseconds(step.At)).ExecuteNonQuery();
            }

            foreach (var told in step.Told)
            {
                using var command = connection.Command(
                    """
                    INSERT INTO told_alarm (lane, resource, type, severity, raised_at_us) VALUES ($1, $2, $3, $4, $5)
                    ON CONFLICT (lane, resource, type) DO UPDATE SET severity = excluded.severity, raised_at_us = excluded.raised_at_us
                    """,
                    lane, told.Key.Resource, told.Key.Type, (long)told.Severity, StoreTime.ToMicroseconds(told.RaisedAt));
                command.ExecuteNonQuery();
            }

            foreach (AlarmKey key in step.Untold)
            {
                using var command = connection.Command("DELETE FROM told_alarm WHERE lane = $1 AND resource = $2 AND type = $3", lane, key.Resource, key.Type);
                command.ExecuteNonQuery();
            }

            return true;
        },
        cancellationToken);

    /// <inheritdoc/>
    public async Task PostNoticesAsync(IReadOnlyList<NewNotice> notices, CancellationToken cancellationToken) =>
        await WriteAsync((connection, _) => Post(connection, notices), cancellationToken);

    /// <inheritdoc/>
    public async Task<IReadOnlyList<Notice>> ReadDueAsync(NoticeLane lane, DateTimeOffset now, int max, CancellationToken cancellationToken) =>
        await NoticesAsync("WHERE state = 1 AND lane = $1 AND due_at_us <= $2 ORDER BY id LIMIT $3", cancellationToken, lane.ToString(), StoreTime.ToMicroseconds(now), (long)max);

    /// <inheritdoc/>
    public async Task NoteAttemptAsync(IReadOnlyList<long> ids, NoticeState state, DateTimeOffset at, string problem, CancellationToken cancellationToken) =>
        await WriteAsync(
            (connection, _) =>
            {
                using var command = connection.Command(
                    "UPDATE notice SET state = $2, attempts = attempts + 1, tried_at_us = $3, problem = $4 WHERE id = $1 AND state = 1", null, null, null, null);
                foreach (var id in ids)
                {
                    command.With(id, (long)state, StoreTime.ToMicroseconds(at), StoreText.Clean(problem)).ExecuteNonQuery();
                }

                return ids.Count;
            },
            cancellationToken);

    /// <inheritdoc/>
    public async Task<bool> ReviveAsync(long id, DateTimeOffset now, CancellationToken cancellationToken) => await WriteAsync(
        (connection, _) =>
        {
            using var command = connection.Command(
                "UPDATE notice SET state = 1, attempts = 0, at_us = $2, due_at_us = $2, is_held = 0, problem = '' WHERE id = $1 AND state = 3",
                id, StoreTime.ToMicroseconds(now));
            return command.ExecuteNonQuery() > 0;
        },
        cancellationToken);

    /// <inheritdoc/>
    public async Task<IReadOnlyList<Notice>> ReadNoticesAsync(NoticeState? state, long? below, int max, CancellationToken cancellationToken) =>
        await NoticesAsync(
            "WHERE ($1 IS NULL OR state = $1) AND ($2 IS NULL OR id < $2) ORDER BY id DESC LIMIT $3", cancellationToken, (long?)state, below, (long)max);

    /// <inheritdoc/>
    public async Task<Notice?> FindNoticeAsync(long id, CancellationToken cancellationToken) =>
        (await NoticesAsync("WHERE id = $1", cancellationToken, id)).SingleOrDefault();

    /// <inheritdoc/>
    public async Task<IReadOnlyList<NoticeCount>> CountNoticesAsync(CancellationToken cancellationToken) => await ReadAsync(
        connection =>
        {
            using var command = connection.Command("SELECT lane, state, count(*), min(at_us) FROM notice WHERE state <> 2 GROUP BY lane, state ORDER BY lane, state");
            return command.Rows(
                r => new NoticeCount(NoticeLane.Parse(r.GetString(0)), (NoticeState)r.GetInt32(1), r.GetInt32(2), StoreTime.FromMicroseconds(r.GetInt64(3))), cancellationToken);
        },
        cancellationToken);

    /// <inheritdoc/>
    public async Task<NoticesTidied> TidyNoticesAsync(NoticeTidying tidying, CancellationToken cancellationToken) => await WriteAsync(
        (connection, _) =>
        {
            using var giveUp = connection.Command(
                "UPDATE notice SET state = 3, problem = CASE problem WHEN '' THEN $2 ELSE $2 || ' ' || problem END WHERE state = 1 AND at_us < $1 AND due_at_us < $1",
                StoreTime.ToMicroseconds(tidying.GiveUpBefore), tidying.Reason);
            using var forget = connection.Command("DELETE FROM notice WHERE (state = 2 AND tried_at_us < $1) OR (state = 3 AND at_us < $1)", StoreTime.ToMicroseconds(tidying.ForgetBefore));
            using var dead = connection.Command(
                "DELETE FROM notice WHERE state = 3 AND id <= (SELECT id FROM notice WHERE state = 3 ORDER BY id DESC LIMIT 1 OFFSET $1)", (long)tidying.DeadMax);
            return new NoticesTidied(giveUp.ExecuteNonQuery(), forget.ExecuteNonQuery(), dead.ExecuteNonQuery());
        },
        cancellationToken);

    private static int Post(SqliteConnection connection, IReadOnlyCollection<NewNotice> notices)
    {
        foreach (var notice in notices)
        {
            using var command = connection.Command(
                """
                INSERT INTO notice (lane, post_key, resource, at_us, due_at_us, is_held, state, attempts, tried_at_us, problem, content)
                VALUES ($1, $2, $3, $4, $5, $6, 1, 0, NULL, '', $7) ON CONFLICT DO NOTHING
                """,
                notice.Lane.ToString(),
                StoreText.Clean(notice.PostKey),
                StoreText.Clean(notice.Content.Resource),
                StoreTime.ToMicroseconds(notice.Content.At),
                StoreTime.ToMicroseconds(notice.DueAt),
                notice.IsHeld ? 1L : 0L,
                NoticeRow.Pack(notice.Content));
            command.ExecuteNonQuery();
        }

        return notices.Count;
    }

    private async Task<List<Notice>> NoticesAsync(string rest, CancellationToken cancellationToken, params object?[] values) => await ReadAsync(
        connection =>
        {
            using var command = connection.Command($"{SelectNotice} {rest}", values);
            return command.Rows(ReadNotice, cancellationToken);
        },
        cancellationToken);

    private static Notice ReadNotice(SqliteDataReader reader) => new(
        reader.GetInt64(0),
        NoticeLane.Parse(reader.GetString(1)),
        NoticeRow.Unpack(reader.GetString(2)),
        StoreTime.FromMicroseconds(reader.GetInt64(3)),
        reader.GetBoolean(4),
        (NoticeState)reader.GetInt32(5),
        reader.GetInt32(6),
        reader.IsDBNull(7) ? null : StoreTime.FromMicroseconds(reader.GetInt64(7)),
        reader.GetString(8));
}
