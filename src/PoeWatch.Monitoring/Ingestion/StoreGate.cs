using Microsoft.Extensions.Hosting;
using Microsoft.Extensions.Logging;
using PoeWatch.Monitoring.Abstractions;

namespace PoeWatch.Monitoring.Ingestion;

/// <summary>
/// Opens once the store has been prepared. A store that is down at the start keeps it shut and is tried again; polling goes on meanwhile.
/// What trying again does not heal (wrong password, wrong schema, folder not writable) is said once and tried again all the same: somebody may correct it.
/// Thread safe.
/// </summary>
public sealed partial class StoreGate(IHistoryStore store, TimeProvider time, ILogger<StoreGate> log) : BackgroundService
{
    private static readonly TimeSpan RetryFirst = TimeSpan.FromSeconds(1);
    private static readonly TimeSpan RetryMax = TimeSpan.FromSeconds(15);

    private readonly TaskCompletionSource _ready = new(TaskCreationOptions.RunContinuationsAsynchronously);
    private string _problem = "not prepared yet";

    public bool IsReady => _ready.Task.IsCompletedSuccessfully;

    /// <summary>Why it is shut; empty once open.</summary>
    public string Problem => Volatile.Read(ref _problem);

    public Task WaitReadyAsync(CancellationToken cancellationToken) => _ready.Task.WaitAsync(cancellationToken);

    /// <summary>Prepares now, once, and opens where that works: so that a start with a usable store does not wait.</summary>
    public async Task<bool> TryOpenAsync(CancellationToken cancellationToken)
    {
        if (IsReady)
        {
            return true;
        }

        try
        {
            await store.PrepareAsync(cancellationToken).ConfigureAwait(false);
        }
        catch (StoreException away) when (away.IsTransient)
        {
            Volatile.Write(ref _problem, away.Message);
            return false;
        }

        Volatile.Write(ref _problem, string.Empty);
        _ready.TrySetResult();
        return true;
    }

    protected override async Task ExecuteAsync(CancellationToken stoppingToken)
    {
        TimeSpan retry = RetryFirst;
        try
        {
            while (!await TryOpenOrSayAsync(retry, stoppingToken).ConfigureAwait(false))
            {
                await Task.Delay(retry, time, stoppingToken).ConfigureAwait(false);
                retry = retry * 2 < RetryMax ? retry * 2 : RetryMax;
            }
        }
        catch (OperationCanceledException) when (stoppingToken.IsCancellationRequested)
        {
            // Stopping.
        }
    }

    private async Task<bool> TryOpenOrSayAsync(TimeSpan retry, CancellationToken stoppingToken)
    {
        try
        {
            if (await TryOpenAsync(stoppingToken).ConfigureAwait(false))
            {
                return true;
            }

            LogWaiting(Problem, retry.TotalSeconds);
        }
        catch (StoreException unusable)
        {
            if (Problem != unusable.Message)
            {
                LogUnusable(unusable.Message, RetryMax.TotalSeconds);
            }

            Volatile.Write(ref _problem, unusable.Message);
        }

        return false;
    }

    [LoggerMessage(2111, LogLevel.Warning, "The history store is not there yet: {Reason} Tried again in {Seconds} s; readings wait meanwhile.")]
    private partial void LogWaiting(string reason, double seconds);

    [LoggerMessage(2112, LogLevel.Critical, "The history store cannot be used, and waiting alone does not help: {Reason} It is looked at again every {Seconds} s; readings are kept in the spool meanwhile.")]
    private partial void LogUnusable(string reason, double seconds);
}
