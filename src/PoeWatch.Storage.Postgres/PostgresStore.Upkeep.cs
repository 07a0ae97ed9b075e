using System.Collections.Concurrent;
using Npgsql;
using PoeWatch.Monitoring.Abstractions;
using PoeWatch.Monitoring.Storage;
using PoeWatch.Monitoring.Storage.Blocks;

namespace PoeWatch.Storage.Postgres;

/// <content>Packing, partitions and deleting.</content>
public sealed partial class PostgresStore : IPortHistory, IHistoryUpkeep
{
    private readonly ConcurrentDictionary<DateTime, bool> _partitions = new();

    /// <inheritdoc/>
    public Task<int> PackAsync(DateTimeOffset before, CancellationToken cancellationToken) => _packer.PackAsync(before, cancellationToken);

    /// <inheritdoc/>
    public Task PrepareUntilAsync(DateTimeOffset from, DateTimeOffset until, CancellationToken cancellationToken) => GuardAsync(async () =>
    {
        for (var month = PostgresPartitions.MonthOf(from.UtcDateTime); month <= until.UtcDateTime; month = month.AddMonths(1))
        {
            await EnsurePartitionsAsync([month], cancellationToken);
        }

        return true;
    });

    /// <inheritdoc/>
    /// <remarks>Blocks go with their partition, once its whole month is past: that frees the space at once and leaves nothing to vacuum.</remarks>
    public Task DropRawAsync(DateTimeOffset before, CancellationToken cancellationToken) => GuardAsync(async () =>
    {
        var end = PostgresPartitions.MonthOf(PostgresTime.Of(BlockRow.HourOf(StoreTime.ToMicroseconds(before))));
        foreach (var (name, month) in await PartitionsAsync(cancellationToken))
        {
            if (month < end)
            {
                _partitions.TryRemove(month, out _);
                await using var drop = _source.CreateCommand($"DROP TABLE {name}");
                await drop.ExecuteNonQueryAsync(cancellationToken);
            }
        }

        // Late polls of those months that were never packed.
        await using var delete = _source.CreateCommand("DELETE FROM poll WHERE at < $1");
        delete.Parameters.Add(new NpgsqlParameter { Value = end });
        return await delete.ExecuteNonQueryAsync(cancellationToken);
    });

    /// <summary>Makes the partitions that blocks of these times need, each in a statement of its own.</summary>
    internal async Task EnsurePartitionsAsync(IEnumerable<DateTime> times, CancellationToken cancellationToken)
    {
        foreach (var month in times.Select(PostgresPartitions.MonthOf).Distinct().Where(m => !_partitions.ContainsKey(m)))
        {
            await using var create = _source.CreateCommand(PostgresPartitions.Create(month));
            await create.ExecuteNonQueryAsync(cancellationToken);
            _partitions[month] = true;
        }
    }

    private async Task<IEnumerable<(string Name, DateTime Month)>> PartitionsAsync(CancellationToken cancellationToken)
    {
        var names = await RowsAsync(
            "SELECT c.relname::text FROM pg_inherits i JOIN pg_class c ON c.oid = i.inhrelid WHERE i.inhparent = 'block'::regclass ORDER BY 1",
            r => r.GetString(0),
            cancellationToken);
        return names.Select(name => (Name: name, Month: PostgresPartitions.MonthOf(name))).Where(p => p.Month is not null).Select(p => (p.Name, p.Month!.Value));
    }
}
