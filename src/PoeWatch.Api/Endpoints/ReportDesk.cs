using PoeWatch.Domain.Design;
using PoeWatch.Domain.DesignReports;

namespace PoeWatch.Api.Endpoints;

/// <summary>Makes design reports one at a time: a large one takes a core for a second, and polling needs the others. Thread safe.</summary>
internal sealed class ReportDesk(TimeProvider time) : IDisposable
{
    private static readonly TimeSpan WaitMax = TimeSpan.FromSeconds(10);

    private readonly SemaphoreSlim _place = new(1, 1);

    /// <summary>Null where the place stayed taken.</summary>
    public async Task<DesignReport?> TryBuildAsync(DesignModel design, string version, string? onlyCableRunId, CancellationToken cancellationToken)
    {
        using var patience = new CancellationTokenSource(WaitMax, time);
        using var either = CancellationTokenSource.CreateLinkedTokenSource(patience.Token, cancellationToken);
        try
        {
            await _place.WaitAsync(either.Token);
        }
        catch (OperationCanceledException) when (!cancellationToken.IsCancellationRequested)
        {
            return null;
        }

        try
        {
            return DesignReportBuilder.Build(design, time.GetUtcNow(), version, onlyCableRunId, cancellationToken);
        }
        finally
        {
            _place.Release();
        }
    }

    public void Dispose() => _place.Dispose();
}
