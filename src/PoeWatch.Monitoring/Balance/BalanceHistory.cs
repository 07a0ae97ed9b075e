using PoeWatch.Domain.Design;
using PoeWatch.Domain.EnergyBalance;
using PoeWatch.Domain.Readings;
using PoeWatch.Monitoring.Abstractions;

namespace PoeWatch.Monitoring.Balance;

/// <summary>Reads out of the history what metered segments would be remembered by, had the service never stopped. Holds about an hour of both ends at a time.</summary>
internal static class BalanceHistory
{
    /// <exception cref="StoreException">The history cannot be read.</exception>
    public static async Task<IReadOnlyList<SegmentMemory>> ReadAsync(
        IPortHistory history, DesignModel design, DateTimeOffset from, DateTimeOffset to, CancellationToken cancellationToken)
    {
        var segments = new List<SegmentMemory>();
        foreach (MeteredSegment segment in MeteredSegment.Of(design))
        {
            var memory = new SegmentMemory(segment);
            await ReadAsync(history, memory, from, to, cancellationToken).ConfigureAwait(false);
            segments.Add(memory);
        }

        return segments;
    }

    private static async Task ReadAsync(IPortHistory history, SegmentMemory memory, DateTimeOffset from, DateTimeOffset to, CancellationToken cancellationToken)
    {
        MeteredSegment segment = memory.Segment;
        await using var near = new EndReader(history, segment.FedBy.PseId, [segment.FedBy], from, to, cancellationToken);
        await using var far = new EndReader(history, segment.FarId, segment.FarOutputs, from, to, cancellationToken);
        EndWatts? nextNear = await near.NextAsync().ConfigureAwait(false);
        EndWatts? nextFar = await far.NextAsync().ConfigureAwait(false);
        while (nextNear is not null || nextFar is not null)
        {
            BalanceSample? sample;
            if (nextFar is not { } b || nextNear?.At <= b.At)
            {
                sample = memory.Ends.NoteNear(nextNear!.Value.At, nextNear.Value.Watts);
                nextNear = await near.NextAsync().ConfigureAwait(false);
            }
            else
            {
                sample = memory.Ends.NoteFar(b.At, b.Watts);
                nextFar = await far.NextAsync().ConfigureAwait(false);
            }

            if (sample is { } both)
            {
                memory.Note(both);
            }
        }
    }

    /// <summary>One end, poll by poll.</summary>
    private sealed class EndReader(
        IPortHistory history, string pseId, IReadOnlyList<PsePortRef> ports, DateTimeOffset from, DateTimeOffset to, CancellationToken cancellationToken) : IAsyncDisposable
    {
        private readonly IAsyncEnumerator<PortHistoryPage> _pages = history.ReadPortsAsync(pseId, ports, from, to, cancellationToken).GetAsyncEnumerator(cancellationToken);
        private PortHistoryPage? _page;
        private int _poll;

        public async Task<EndWatts?> NextAsync()
        {
            while (_page is null || _poll >= _page.Polls.Length)
            {
                if (!await _pages.MoveNextAsync().ConfigureAwait(false))
                {
                    return null;
                }

                (_page, _poll) = (_pages.Current, 0);
            }

            var (page, at) = (_page, _poll++);
            PollMark poll = page.Polls[at];
            return new EndWatts(
                poll.At, poll.Outcome is PollOutcome.Answered or PollOutcome.Partial ? EndWatts.Sum(page.Ports.Select(port => port[at])) : null, null);
        }

        public ValueTask DisposeAsync() => _pages.DisposeAsync();
    }
}
