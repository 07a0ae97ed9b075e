using PoeWatch.Monitoring.Abstractions;

namespace PoeWatch.Storage.Postgres;

/// <content>Filling an empty database with all tables of another store.</content>
public sealed partial class PostgresStore : IStoreFilling
{
    /// <inheritdoc/>
    public Task FillAsync(Func<IStoreWriter, Task> work, CancellationToken cancellationToken) => GuardAsync(async () =>
    {
        await _lock.HoldAsync(cancellationToken);
        await using (var connection = await _source.OpenConnectionAsync(cancellationToken))
        {
            await using var transaction = await connection.BeginTransactionAsync(cancellationToken);
            var tables = new PostgresTables(connection);
            await work(tables);
            await tables.ContinueNumbersAsync(cancellationToken);
            await transaction.CommitAsync(cancellationToken);
        }

        ForgetNumbers();
        return true;
    });
}
