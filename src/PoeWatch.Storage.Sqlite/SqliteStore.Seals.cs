using Microsoft.Data.Sqlite;
using PoeWatch.Domain.Evidence.Seals;
using PoeWatch.Monitoring.Abstractions;
using PoeWatch.Monitoring.Storage;

namespace PoeWatch.Storage.Sqlite;

/// <content>The hash tree over the history.</content>
public sealed partial class SqliteStore : ISealStore, ILateMarkStore
{
    private const string TreeSize = "SELECT coalesce(max(id) + 1, 0) FROM seal_leaf";

    /// <inheritdoc/>
    public async Task<SealState> ReadSealStateAsync(CancellationToken cancellationToken) => await ReadAsync(
        connection =>
        {
            using var command = connection.Command($"SELECT ({TreeSize}), (SELECT start_us FROM seal_leaf WHERE kind = 1 ORDER BY id DESC LIMIT 1)");
            return command.Rows(r => new SealState(r.GetInt64(0), r.IsDBNull(1) ? null : StoreTime.FromMicroseconds(r.GetInt64(1))), cancellationToken)[0];
        },
        cancellationToken);

    /// <inheritdoc/>
    public async Task AppendSealsAsync(SealBatch batch, CancellationToken cancellationToken) => await WriteAsync(
        (connection, _) =>
        {
            using var size = connection.Command(TreeSize);
            if ((long)size.ExecuteScalar()! is var found && found != batch.FirstIndex)
            {
                throw SealRow.OtherSize(found, batch.FirstIndex);
            }

            AppendLeaves(connection, batch);
            AppendRoot(connection, batch.Root);
            using var done = connection.Command("DELETE FROM late_mark WHERE element = $1 AND start_us = $2", null, null);
            foreach (var mark in batch.Done)
            {
                done.With(mark.PseId, StoreTime.ToMicroseconds(mark.Start)).ExecuteNonQuery();
            }

            return batch.Leaves.Length;
        },
        cancellationToken);

    /// <inheritdoc/>
    public async Task<IReadOnlyList<StoredSeal>> ReadSealsAsync(
        string pseId, DateTimeOffset from, DateTimeOffset to, CancellationToken cancellationToken) => await ReadAsync(
        connection =>
        {
            using var command = connection.Command(
                """
                SELECT l.id, l.kind, e.name, l.start_us, l.polls, l.hash FROM sealed_element e JOIN seal_leaf l ON l.element_id = e.id
                WHERE e.name = $1 AND l.start_us >= $2 AND l.start_us < $3 ORDER BY l.start_us, l.id
                """,
                pseId, StoreTime.ToMicroseconds(from), StoreTime.ToMicroseconds(to));
            return command.Rows(
                r => SealRow.Of(
                    r.GetInt64(0), r.GetInt32(1), r.GetString(2), StoreTime.FromMicroseconds(r.GetInt64(3)), r.GetFieldValue<byte[]>(4), r.GetFieldValue<byte[]>(5)),
                cancellationToken);
        },
        cancellationToken);

    /// <inheritdoc/>
    public async Task<IReadOnlyList<Digest>> ReadHashesAsync(int level, long first, int count, CancellationToken cancellationToken) => await ReadAsync(
        connection =>
        {
            using var command = level == 0
                ? connection.Command("SELECT hash FROM seal_leaf WHERE id >= $1 AND id < $2 ORDER BY id", first, first + count)
                : connection.Command("SELECT hash FROM seal_tile WHERE level = $3 AND place >= $1 AND place < $2 ORDER BY place", first, first + count, (long)level);
            return command.Rows(r => SealRow.Hash(r.GetFieldValue<byte[]>(0)), cancellationToken);
        },
        cancellationToken);

    /// <inheritdoc/>
    public async Task<IReadOnlyList<SealedRoot>> ReadRootsAsync(CancellationToken cancellationToken) => await ReadAsync(
        connection =>
        {
            using var command = connection.Command("SELECT day, size, root, at_us, key_id, signature FROM day_root ORDER BY day");
            return command.Rows(
                r => new SealedRoot(
                    SealRow.Day(r.GetString(0)), r.GetInt64(1), SealRow.Hash(r.GetFieldValue<byte[]>(2)), StoreTime.FromMicroseconds(r.GetInt64(3)), r.GetString(4), r.GetString(5)),
                cancellationToken);
        },
        cancellationToken);

    /// <inheritdoc/>
    public async Task MarkLateAsync(IReadOnlyCollection<LateMark> marks, CancellationToken cancellationToken) => await WriteAsync(
        (connection, _) =>
        {
            using var command = connection.Command("INSERT INTO late_mark (element, start_us) VALUES ($1, $2) ON CONFLICT DO NOTHING", null, null);
            foreach (var mark in marks)
            {
                command.With(mark.PseId, StoreTime.ToMicroseconds(mark.Start)).ExecuteNonQuery();
            }

            return marks.Count;
        },
        cancellationToken);

    /// <inheritdoc/>
    public async Task<IReadOnlyList<LateMark>> ReadLateAsync(int max, CancellationToken cancellationToken) => await ReadAsync(
        connection =>
        {
            using var command = connection.Command("SELECT element, start_us FROM late_mark ORDER BY element, start_us LIMIT $1", (long)max);
            return command.Rows(r => new LateMark(r.GetString(0), StoreTime.FromMicroseconds(r.GetInt64(1))), cancellationToken);
        },
        cancellationToken);

    /// <inheritdoc/>
    public async Task<IReadOnlyList<string>> ReadSealedElementsAsync(CancellationToken cancellationToken) => await ReadAsync(
        connection =>
        {
            using var command = connection.Command("SELECT name FROM sealed_element");
            return command.Rows(r => r.GetString(0), cancellationToken).Order(StringComparer.Ordinal).ToList();
        },
        cancellationToken);

    private static void AppendLeaves(SqliteConnection connection, SealBatch batch)
    {
        using var element = connection.Command("INSERT INTO sealed_element (name) VALUES ($1) ON CONFLICT DO NOTHING", [null]);
        using var leaf = connection.Command(
            """
            INSERT INTO seal_leaf (id, element_id, start_us, kind, polls, hash)
            VALUES ($1, (SELECT id FROM sealed_element WHERE name = $2), $3, $4, $5, $6)
            """,
            null, null, null, null, null, null);
        using var tile = connection.Command("INSERT INTO seal_tile (level, place, hash) VALUES ($1, $2, $3)", null, null, null);
        foreach (var added in batch.Leaves)
        {
            element.With(added.PseId).ExecuteNonQuery();
            leaf.With(
                added.Index, added.PseId, StoreTime.ToMicroseconds(added.Start), (long)added.Kind, SealRow.PackPolls(added), added.Hash.ToArray()).ExecuteNonQuery();
        }

        foreach (var added in batch.Tiles)
        {
            tile.With((long)added.Level, added.Index, added.Hash.ToArray()).ExecuteNonQuery();
        }
    }

    private static void AppendRoot(SqliteConnection connection, SealedRoot? root)
    {
        if (root is not null)
        {
            using var command = connection.Command(
                "INSERT INTO day_root (day, size, root, at_us, key_id, signature) VALUES ($1, $2, $3, $4, $5, $6) ON CONFLICT DO NOTHING",
                SealRow.Day(root.Day), root.Size, root.Root.ToArray(), StoreTime.ToMicroseconds(root.At), root.KeyId, root.Signature);
            command.ExecuteNonQuery();
        }
    }
}
