using Microsoft.Extensions.Hosting;
using PoeWatch.Monitoring.Abstractions;

namespace PoeWatch.Monitoring.Ingestion;

/// <summary>Does one thing as soon as the store is open, again every few seconds until it is done, and ends.</summary>
public abstract class StoreOpening(StoreGate gate, TimeProvider time) : BackgroundService
{
    private static readonly TimeSpan TryAgain = TimeSpan.FromSeconds(5);

    protected TimeProvider Time { get; } = time;

    protected sealed override async Task ExecuteAsync(CancellationToken stoppingToken)
    {
        try
        {
            await gate.WaitReadyAsync(stoppingToken).ConfigureAwait(false);
            while (!await TryAsync(stoppingToken).ConfigureAwait(false))
            {
                await Task.Delay(TryAgain, Time, stoppingToken).ConfigureAwait(false);
            }
        }
        catch (OperationCanceledException) when (stoppingToken.IsCancellationRequested)
        {
            // Stopping.
        }
    }

    /// <exception cref="StoreException">The store is away: tried again.</exception>
    protected abstract Task DoAsync(CancellationToken stoppingToken);

    /// <summary>Says in the log that it has to wait.</summary>
    protected abstract void LogAway(string reason);

    private async Task<bool> TryAsync(CancellationToken stoppingToken)
    {
        try
        {
            await DoAsync(stoppingToken).ConfigureAwait(false);
            return true;
        }
        catch (StoreException away)
        {
            LogAway(away.Message);
            return false;
        }
    }
}
