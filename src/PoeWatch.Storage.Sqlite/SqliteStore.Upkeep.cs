using PoeWatch.Monitoring.Abstractions;
using PoeWatch.Monitoring.Storage;
using PoeWatch.Monitoring.Storage.Blocks;

namespace PoeWatch.Storage.Sqlite;

/// <content>Packing and deleting.</content>
public sealed partial class SqliteStore : IPortHistory, IHistoryUpkeep
{
    // So many hours of one element go in one transaction: a few milliseconds, for appending waits meanwhile.
    private const int HoursAStep = 50;

    /// <inheritdoc/>
    public Task<int> PackAsync(DateTimeOffset before, CancellationToken cancellationToken) => _packer.PackAsync(before, cancellationToken);

    /// <inheritdoc/>
    public async Task DropRawAsync(DateTimeOffset before, CancellationToken cancellationToken)
    {
        var end = BlockRow.HourOf(StoreTime.ToMicroseconds(before));
        var elements = await ReadAsync(
            connection =>
            {
                using var command = connection.Command("SELECT id FROM pse ORDER BY id");
                return command.Rows(r => r.GetInt64(0), cancellationToken);
            },
            cancellationToken);
        foreach (var element in elements)
        {
            while (await DropStepAsync(element, end, cancellationToken))
            {
            }
        }
    }

    /// <inheritdoc/>
    public Task PrepareUntilAsync(DateTimeOffset from, DateTimeOffset until, CancellationToken cancellationToken) => Task.CompletedTask;

    // An hour goes whole, blocks and journal in one transaction: else a poll that was in both would come back for a moment.
    private Task<bool> DropStepAsync(long element, long end, CancellationToken cancellationToken) => WriteAsync(
        (connection, _) =>
        {
            using var oldest = connection.Command(
                "SELECT min(coalesce((SELECT min(hour_us) FROM block WHERE pse_id = $1), $2), coalesce((SELECT min(at_us) FROM poll WHERE pse_id = $1), $2))",
                element,
                long.MaxValue);
            var begin = (long)oldest.ExecuteScalar()!;
            var step = Math.Min(end, BlockRow.HourOf(Math.Min(begin, end)) + (HoursAStep * BlockRow.HourLength));
            if (begin >= end)
            {
                return false;
            }

            using var blocks = connection.Command("DELETE FROM block WHERE pse_id = $1 AND hour_us < $2", element, step);
            using var polls = connection.Command("DELETE FROM poll WHERE pse_id = $1 AND at_us < $2", element, step);
            return blocks.ExecuteNonQuery() + polls.ExecuteNonQuery() > 0;
        },
        cancellationToken);
}
