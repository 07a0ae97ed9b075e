using Microsoft.Data.Sqlite;
using PoeWatch.Domain.Conditions;
using PoeWatch.Monitoring.Storage;

namespace PoeWatch.Storage.Sqlite;

/// <content>What people posted of conditions.</content>
public sealed partial class SqliteStore
{
    private const string SelectPosted = "SELECT topic, at_us, who, state, air_millicelsius, until_us, text FROM posted_condition";

    /// <inheritdoc/>
    public async Task SavePostedAsync(PostedCondition word, CancellationToken cancellationToken) =>
        await WriteAsync(
            (connection, _) =>
            {
                using var command = connection.Command(
                    """
                    INSERT INTO posted_condition (topic, at_us, who, state, air_millicelsius, until_us, text)
                    SELECT $1, $2, $3, $4, $5, $6, $7 WHERE NOT EXISTS (
                        SELECT 1 FROM posted_condition
                        WHERE topic = $1 AND at_us = $2 AND who = $3 AND state = $4 AND air_millicelsius IS $5 AND until_us IS $6 AND text = $7)
                    """,
                    word.Topic,
                    StoreTime.ToMicroseconds(word.At),
                    StoreText.Clean(word.Who),
                    (long)PostedConditionRow.State(word),
                    (long?)PostedConditionRow.AirMillicelsius(word),
                    word.Until is { } until ? StoreTime.ToMicroseconds(until) : null,
                    StoreText.Clean(word.Text));
                return command.ExecuteNonQuery();
            },
            cancellationToken);

    /// <inheritdoc/>
    public async Task<IReadOnlyList<PostedCondition>> ReadNewestPostedAsync(CancellationToken cancellationToken) =>
        await ReadAsync(
            connection =>
            {
                using var command = connection.Command($"{SelectPosted} WHERE id IN (SELECT max(id) FROM posted_condition GROUP BY topic) ORDER BY topic");
                return command.Rows(ReadPosted, cancellationToken);
            },
            cancellationToken);

    /// <inheritdoc/>
    public async Task<IReadOnlyList<PostedCondition>> ReadPostedAsync(
        DateTimeOffset from, DateTimeOffset to, CancellationToken cancellationToken) =>
        await ReadAsync(
            connection =>
            {
                using var command = connection.Command(
                    $"{SelectPosted} WHERE at_us >= $1 AND at_us < $2 ORDER BY at_us, id", StoreTime.ToMicroseconds(from), StoreTime.ToMicroseconds(to));
                return command.Rows(ReadPosted, cancellationToken);
            },
            cancellationToken);

    private static PostedCondition ReadPosted(SqliteDataReader reader) => PostedConditionRow.Of(
        reader.GetString(0),
        StoreTime.FromMicroseconds(reader.GetInt64(1)),
        reader.GetString(2),
        reader.GetInt32(3),
        reader.IsDBNull(4) ? null : reader.GetInt32(4),
        reader.IsDBNull(5) ? null : StoreTime.FromMicroseconds(reader.GetInt64(5)),
        reader.GetString(6));
}
