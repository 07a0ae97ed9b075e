using PoeWatch.Domain.Readings;
using PoeWatch.Monitoring.Abstractions;

namespace PoeWatch.Monitoring.Sealing;

/// <summary>The history as everybody writes it: what comes for a sealed quarter-hour is marked before it is written. Thread safe.</summary>
public sealed class SealedHistory(IHistoryStore store, ISealStore seals, ILateMarkStore marks, LateWatch watch) : IHistoryStore
{
    public Task PrepareAsync(CancellationToken cancellationToken) => store.PrepareAsync(cancellationToken);

    public async Task AppendAsync(IReadOnlyList<SwitchReading> readings, CancellationToken cancellationToken)
    {
        if (!watch.IsKnown)
        {
            watch.Know(await seals.ReadSealStateAsync(cancellationToken).ConfigureAwait(false));
        }

        var write = watch.Begin(readings, out var late);
        try
        {
            if (late.Count > 0)
            {
                await marks.MarkLateAsync(late, cancellationToken).ConfigureAwait(false);
            }

            await store.AppendAsync(readings, cancellationToken).ConfigureAwait(false);
        }
        finally
        {
            watch.End(write);
        }
    }

    public IAsyncEnumerable<SwitchReading> ReadAsync(string pseId, DateTimeOffset from, DateTimeOffset to, CancellationToken cancellationToken) =>
        store.ReadAsync(pseId, from, to, cancellationToken);

    public Task<IReadOnlyList<SwitchReading>> ReadLatestAsync(CancellationToken cancellationToken) => store.ReadLatestAsync(cancellationToken);
}
