using Microsoft.AspNetCore.Http.HttpResults;
using PoeWatch.Api.Problems;

namespace PoeWatch.Api.History;

/// <summary>Lets only a few long reads at the store at the same time, so that they do not hold up what has to be written. Thread safe.</summary>
internal sealed class HistoryGate(TimeProvider time) : IDisposable
{
    private const int ReadsMax = 4;
    private static readonly TimeSpan WaitMax = TimeSpan.FromSeconds(10);

    private readonly SemaphoreSlim _places = new(ReadsMax, ReadsMax);

    /// <summary>False where all places stayed taken. Give the place back with <see cref="Leave"/>.</summary>
    public async Task<bool> TryEnterAsync(CancellationToken cancellationToken)
    {
        using var patience = new CancellationTokenSource(WaitMax, time);
        using var either = CancellationTokenSource.CreateLinkedTokenSource(patience.Token, cancellationToken);
        try
        {
            await _places.WaitAsync(either.Token);
            return true;
        }
        catch (OperationCanceledException) when (!cancellationToken.IsCancellationRequested)
        {
            return false;
        }
    }

    public void Leave() => _places.Release();

    public void Dispose() => _places.Dispose();

    public static ProblemHttpResult AllTaken() =>
        Problem.Of(ProblemTypes.Busy, "Too many long reads of the history at once.", "history", null, "Try again in a little while.");
}
