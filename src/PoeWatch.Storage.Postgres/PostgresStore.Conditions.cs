using Npgsql;
using NpgsqlTypes;
using PoeWatch.Domain.Conditions;
using PoeWatch.Monitoring.Storage;

namespace PoeWatch.Storage.Postgres;

/// <content>What people posted of conditions.</content>
public sealed partial class PostgresStore
{
    private const string SelectPosted = "SELECT topic, at, who, state, air_millicelsius, until, text FROM posted_condition";

    /// <inheritdoc/>
    public async Task SavePostedAsync(PostedCondition word, CancellationToken cancellationToken) => await GuardAsync(async () =>
    {
        await using var command = _source.CreateCommand(
            """
            INSERT INTO posted_condition (topic, at, who, state, air_millicelsius, until, text)
            SELECT $1, $2, $3, $4, $5, $6, $7 WHERE NOT EXISTS (
                SELECT 1 FROM posted_condition
                WHERE topic = $1 AND at = $2 AND who = $3 AND state = $4
                  AND air_millicelsius IS NOT DISTINCT FROM $5 AND until IS NOT DISTINCT FROM $6 AND text = $7)
            """);
        command.Parameters.Add(new NpgsqlParameter { Value = word.Topic });
        command.Parameters.Add(new NpgsqlParameter { Value = PostgresTime.Of(word.At) });
        command.Parameters.Add(new NpgsqlParameter { Value = StoreText.Clean(word.Who) });
        command.Parameters.Add(new NpgsqlParameter { Value = PostedConditionRow.State(word) });
        command.Parameters.Add(new NpgsqlParameter { NpgsqlDbType = NpgsqlDbType.Integer, Value = (object?)PostedConditionRow.AirMillicelsius(word) ?? DBNull.Value });
        command.Parameters.Add(new NpgsqlParameter
        {
            NpgsqlDbType = NpgsqlDbType.TimestampTz, Value = word.Until is { } until ? PostgresTime.Of(until) : DBNull.Value,
        });
        command.Parameters.Add(new NpgsqlParameter { Value = StoreText.Clean(word.Text) });
        return await command.ExecuteNonQueryAsync(cancellationToken);
    });

    /// <inheritdoc/>
    public async Task<IReadOnlyList<PostedCondition>> ReadNewestPostedAsync(CancellationToken cancellationToken) => await RowsAsync(
        $"{SelectPosted} WHERE id IN (SELECT max(id) FROM posted_condition GROUP BY topic) ORDER BY topic", ReadPosted, cancellationToken);

    /// <inheritdoc/>
    public async Task<IReadOnlyList<PostedCondition>> ReadPostedAsync(
        DateTimeOffset from, DateTimeOffset to, CancellationToken cancellationToken) => await RowsAsync(
        $"{SelectPosted} WHERE at >= $1 AND at < $2 ORDER BY at, id", ReadPosted, cancellationToken, PostgresTime.Of(from), PostgresTime.Of(to));

    private static PostedCondition ReadPosted(NpgsqlDataReader reader) => PostedConditionRow.Of(
        reader.GetString(0),
        reader.GetDateTime(1),
        reader.GetString(2),
        reader.GetInt16(3),
        reader.IsDBNull(4) ? null : reader.GetInt32(4),
        reader.IsDBNull(5) ? null : reader.GetDateTime(5),
        reader.GetString(6));
}
