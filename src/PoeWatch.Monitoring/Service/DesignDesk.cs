using Microsoft.Extensions.Logging;
using PoeWatch.Domain.Design;
using PoeWatch.Monitoring.Abstractions;
using PoeWatch.Monitoring.Ingestion;

namespace PoeWatch.Monitoring.Service;

/// <summary>
/// Takes a changed design whole or not at all: a design with any error is refused and the old one keeps running. One change at a time;
/// thread safe.
/// </summary>
public sealed partial class DesignDesk(
    IDesignSource source, IDesignStore store, StoreGate gate, SiteMonitor monitor, TimeProvider time, ILogger<DesignDesk> log) : IDesignDesk
{
    private readonly SemaphoreSlim _one = new(1, 1);

    public Task<DesignApplyResult> ApplyAsync(string designText, string who, CancellationToken cancellationToken) =>
        TakeAsync(() => source.Parse(designText, "sent design"), who, cancellationToken);

    public Task<DesignApplyResult> ReloadAsync(string who, CancellationToken cancellationToken) =>
        TakeAsync(source.Read, who, cancellationToken);

    private async Task<DesignApplyResult> TakeAsync(Func<DesignReading> read, string who, CancellationToken cancellationToken)
    {
        await _one.WaitAsync(cancellationToken).ConfigureAwait(false);
        try
        {
            DesignReading reading = read();
            if (reading.Model is not { } model)
            {
                LogRefused(who, reading.Problems.Count(p => p.Kind == ProblemKind.Error));
                return new DesignApplyResult(false, string.Empty, reading.Problems);
            }

            if (!gate.IsReady)
            {
                throw new StoreException($"The design is not applied, because it cannot be kept: the store is not open. {gate.Problem}");
            }

            // First kept, then in force: an auditor must never meet readings under a design that nobody can show.
            await store.SaveDesignAsync(new DesignVersion(model.Hash, reading.Text, time.GetUtcNow(), who), cancellationToken).ConfigureAwait(false);
            // From here on nobody can call it off: what is noted as in force has to be.
            await monitor.UseDesignAsync(model, CancellationToken.None).ConfigureAwait(false);
            LogApplied(who, model.Hash, model.Agents.Count, model.CableRuns.Count);
            return new DesignApplyResult(true, model.Hash, reading.Problems);
        }
        finally
        {
            _one.Release();
        }
    }

    [LoggerMessage(5001, LogLevel.Information, "Design {Hash} is in force, applied by {Who}: {Agents} agents, {CableRuns} runs.")]
    private partial void LogApplied(string who, string hash, int agents, int cableRuns);

    [LoggerMessage(5002, LogLevel.Warning, "A design sent by {Who} was refused with {Errors} errors; the one in force stays.")]
    private partial void LogRefused(string who, int errors);
}
