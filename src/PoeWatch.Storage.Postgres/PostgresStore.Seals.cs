using Npgsql;
using NpgsqlTypes;
using PoeWatch.Domain.Evidence.Seals;
using PoeWatch.Monitoring.Abstractions;
using PoeWatch.Monitoring.Storage;

namespace PoeWatch.Storage.Postgres;

/// <content>The hash tree over the history.</content>
public sealed partial class PostgresStore : ISealStore, ILateMarkStore
{
    private const string TreeSize = "SELECT coalesce(max(id) + 1, 0) FROM seal_leaf";

    /// <inheritdoc/>
    public async Task<SealState> ReadSealStateAsync(CancellationToken cancellationToken) => (await RowsAsync(
        $"SELECT ({TreeSize}), (SELECT start FROM seal_leaf WHERE kind = 1 ORDER BY id DESC LIMIT 1)",
        r => new SealState(r.GetInt64(0), r.IsDBNull(1) ? null : r.GetDateTime(1)),
        cancellationToken))[0];

    /// <inheritdoc/>
    public Task AppendSealsAsync(SealBatch batch, CancellationToken cancellationToken) => GuardAsync(async () =>
    {
        await using var connection = await _source.OpenConnectionAsync(cancellationToken);
        await using var transaction = await connection.BeginTransactionAsync(cancellationToken);
        await using (var size = new NpgsqlCommand(TreeSize, connection, transaction))
        {
            if ((long)(await size.ExecuteScalarAsync(cancellationToken))! is var found && found != batch.FirstIndex)
            {
                throw SealRow.OtherSize(found, batch.FirstIndex);
            }
        }

        await using var statements = new NpgsqlBatch(connection, transaction);
        AddLeaves(statements, batch);
        if (batch.Root is { } root)
        {
            statements.BatchCommands.Add(Command(
                "INSERT INTO day_root (day, size, root, at, key_id, signature) VALUES ($1, $2, $3, $4, $5, $6) ON CONFLICT DO NOTHING",
                SealRow.Day(root.Day), root.Size, root.Root.ToArray(), PostgresTime.Of(root.At), root.KeyId, root.Signature));
        }

        foreach (var mark in batch.Done)
        {
            statements.BatchCommands.Add(Command("DELETE FROM late_mark WHERE element = $1 AND start = $2", mark.PseId, PostgresTime.Of(mark.Start)));
        }

        if (statements.BatchCommands.Count > 0)
        {
            await statements.ExecuteNonQueryAsync(cancellationToken);
        }

        await transaction.CommitAsync(cancellationToken);
        return true;
    });

    /// <inheritdoc/>
    public async Task<IReadOnlyList<StoredSeal>> ReadSealsAsync(
        string pseId, DateTimeOffset from, DateTimeOffset to, CancellationToken cancellationToken) => await RowsAsync(
        """
        SELECT l.id, l.kind, e.name, l.start, l.polls, l.hash FROM sealed_element e JOIN seal_leaf l ON l.element_id = e.id
        WHERE e.name = $1 AND l.start >= $2 AND l.start < $3 ORDER BY l.start, l.id
        """,
        r => SealRow.Of(r.GetInt64(0), r.GetInt16(1), r.GetString(2), r.GetDateTime(3), r.GetFieldValue<byte[]>(4), r.GetFieldValue<byte[]>(5)),
        cancellationToken, pseId, PostgresTime.Of(from), PostgresTime.Of(to));

    /// <inheritdoc/>
    public async Task<IReadOnlyList<Digest>> ReadHashesAsync(int level, long first, int count, CancellationToken cancellationToken) => level == 0
        ? await RowsAsync(
            "SELECT hash FROM seal_leaf WHERE id >= $1 AND id < $2 ORDER BY id", ReadHash, cancellationToken, first, first + count)
        : await RowsAsync(
            "SELECT hash FROM seal_tile WHERE level = $3 AND place >= $1 AND place < $2 ORDER BY place", ReadHash, cancellationToken, first, first + count, level);

    /// <inheritdoc/>
    public async Task<IReadOnlyList<SealedRoot>> ReadRootsAsync(CancellationToken cancellationToken) => await RowsAsync(
        "SELECT day, size, root, at, key_id, signature FROM day_root ORDER BY day",
        r => new SealedRoot(
            SealRow.Day(r.GetString(0)), r.GetInt64(1), SealRow.Hash(r.GetFieldValue<byte[]>(2)), r.GetDateTime(3), r.GetString(4), r.GetString(5)),
        cancellationToken);

    /// <inheritdoc/>
    public Task MarkLateAsync(IReadOnlyCollection<LateMark> marks, CancellationToken cancellationToken) => GuardAsync(async () =>
    {
        await using var command = _source.CreateCommand("INSERT INTO late_mark (element, start) SELECT * FROM unnest($1, $2) ON CONFLICT DO NOTHING");
        command.Parameters.Add(Array(NpgsqlDbType.Text, marks.Select(m => m.PseId).ToArray()));
        command.Parameters.Add(Array(NpgsqlDbType.TimestampTz, marks.Select(m => PostgresTime.Of(m.Start)).ToArray()));
        return await command.ExecuteNonQueryAsync(cancellationToken);
    });

    /// <inheritdoc/>
    public async Task<IReadOnlyList<LateMark>> ReadLateAsync(int max, CancellationToken cancellationToken) => await RowsAsync(
        "SELECT element, start FROM late_mark ORDER BY element, start LIMIT $1", r => new LateMark(r.GetString(0), r.GetDateTime(1)), cancellationToken, max);

    /// <inheritdoc/>
    public async Task<IReadOnlyList<string>> ReadSealedElementsAsync(CancellationToken cancellationToken) =>
        [.. (await RowsAsync("SELECT name FROM sealed_element", r => r.GetString(0), cancellationToken)).Order(StringComparer.Ordinal)];

    private static Digest ReadHash(NpgsqlDataReader reader) => SealRow.Hash(reader.GetFieldValue<byte[]>(0));

    // Arrays: a quarter-hour of a large site is hundreds of leaves.
    private static void AddLeaves(NpgsqlBatch statements, SealBatch batch)
    {
        if (!batch.Leaves.IsEmpty)
        {
            var names = new NpgsqlBatchCommand("INSERT INTO sealed_element (name) SELECT DISTINCT unnest($1) ON CONFLICT DO NOTHING");
            names.Parameters.Add(Array(NpgsqlDbType.Text, batch.Leaves.Select(l => l.PseId).ToArray()));
            statements.BatchCommands.Add(names);
            var leaves = new NpgsqlBatchCommand(
                """
                INSERT INTO seal_leaf (id, element_id, start, kind, polls, hash)
                SELECT n.id, e.id, n.start, n.kind, n.polls, n.hash
                FROM unnest($1, $2, $3, $4, $5, $6) n(id, name, start, kind, polls, hash) JOIN sealed_element e ON e.name = n.name
                """);
            leaves.Parameters.Add(Array(NpgsqlDbType.Bigint, batch.Leaves.Select(l => l.Index).ToArray()));
            leaves.Parameters.Add(Array(NpgsqlDbType.Text, batch.Leaves.Select(l => l.PseId).ToArray()));
            leaves.Parameters.Add(Array(NpgsqlDbType.TimestampTz, batch.Leaves.Select(l => PostgresTime.Of(l.Start)).ToArray()));
            leaves.Parameters.Add(Array(NpgsqlDbType.Smallint, batch.Leaves.Select(l => (short)l.Kind).ToArray()));
            leaves.Parameters.Add(Array(NpgsqlDbType.Bytea, batch.Leaves.Select(SealRow.PackPolls).ToArray()));
            leaves.Parameters.Add(Array(NpgsqlDbType.Bytea, batch.Leaves.Select(l => l.Hash.ToArray()).ToArray()));
            statements.BatchCommands.Add(leaves);
        }

        foreach (var tile in batch.Tiles)
        {
            statements.BatchCommands.Add(Command("INSERT INTO seal_tile (level, place, hash) VALUES ($1, $2, $3)", tile.Level, tile.Index, tile.Hash.ToArray()));
        }
    }

    private static NpgsqlParameter Array(NpgsqlDbType type, object value) => new() { NpgsqlDbType = NpgsqlDbType.Array | type, Value = value };
}
