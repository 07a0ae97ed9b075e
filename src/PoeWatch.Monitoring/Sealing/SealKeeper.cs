using System.Collections.Immutable;
using System.Text;
using Microsoft.Extensions.Hosting;
using Microsoft.Extensions.Logging;
using Microsoft.Extensions.Options;
using PoeWatch.Domain.Evidence.Seals;
using PoeWatch.Monitoring.Abstractions;
using PoeWatch.Monitoring.Ingestion;

namespace PoeWatch.Monitoring.Sealing;

/// <summary>
/// Seals each quarter-hour once its lag is over: a leaf for every element, empty ones too, in ordinal order of their names; appends what came later
/// as amendments; takes and signs the root when a day of UTC is whole. All state is the store's, so a restart goes on where it ended. Thread safe.
/// </summary>
public sealed partial class SealKeeper(
    IHistoryStore history,
    ISealStore seals,
    ILateMarkStore marks,
    LateWatch watch,
    ISiteView site,
    IEvidenceSigner signer,
    IEnumerable<IRootPublisher> publishers,
    StoreGate gate,
    IOptions<EvidenceOptions> options,
    TimeProvider time,
    ILogger<SealKeeper> log) : BackgroundService, IRetentionGuard
{
    private const int MarksMax = 500;
    private static readonly TimeSpan Beat = TimeSpan.FromSeconds(10);
    private static readonly TimeSpan PublishedAgain = TimeSpan.FromDays(7);

    private readonly Queue<SealedRoot> _unpublished = new();
    private readonly SealClock _clock = new(time);
    private TreeFrontier? _frontier;
    private DateTimeOffset _next;
    private bool _isRemembered;
    private bool _isClockBegun;
    private bool _isWaiting;
    private string _problem = string.Empty;

    /// <summary>Why nothing can be sealed now; empty where it can.</summary>
    public string Problem => Volatile.Read(ref _problem);

    /// <summary>False where roots stay unsigned.</summary>
    public bool IsSigning => signer.KeyId.Length > 0;

    /// <summary>Roots that wait to leave the machine.</summary>
    public int UnpublishedRoots
    {
        get
        {
            lock (_unpublished)
            {
                return _unpublished.Count;
            }
        }
    }

    /// <summary>What is not sealed yet, and sealed quarter-hours with late polls that no amendment answers yet, have to stay.</summary>
    public async Task<DateTimeOffset?> EarliestNeededAsync(CancellationToken cancellationToken)
    {
        var state = await seals.ReadSealStateAsync(cancellationToken).ConfigureAwait(false);
        var late = await marks.ReadLateAsync(MarksMax, cancellationToken).ConfigureAwait(false);
        return late.Select(m => (DateTimeOffset?)m.Start).Append(state.LastStart + SealInterval.Length).Min();
    }

    /// <summary>Seals all that is due now.</summary>
    public async Task SealDueAsync(CancellationToken cancellationToken)
    {
        if (!_isRemembered)
        {
            await RememberRootsAsync(cancellationToken).ConfigureAwait(false);
            _isRemembered = true;
        }

        while (await StepAsync(cancellationToken).ConfigureAwait(false))
        {
        }

        await PublishAsync(cancellationToken).ConfigureAwait(false);
    }

    protected override async Task ExecuteAsync(CancellationToken stoppingToken)
    {
        try
        {
            await gate.WaitReadyAsync(stoppingToken).ConfigureAwait(false);
            while (!stoppingToken.IsCancellationRequested)
            {
                await TrySealAsync(stoppingToken).ConfigureAwait(false);
                await Task.Delay(Beat, time, stoppingToken).ConfigureAwait(false);
            }
        }
        catch (OperationCanceledException) when (stoppingToken.IsCancellationRequested)
        {
            // Stopping.
        }
    }

    /// <summary>Seals all that is due; where the store is away it says so and forgets what it remembers of the tree.</summary>
    internal async Task TrySealAsync(CancellationToken stoppingToken)
    {
        try
        {
            await SealDueAsync(stoppingToken).ConfigureAwait(false);
            Volatile.Write(ref _problem, string.Empty);
        }
        catch (StoreException failed)
        {
            // What of the last batch was written is not known: ask the store again.
            _frontier = null;
            if (Problem.Length == 0)
            {
                LogCannotSeal(failed.Message);
            }

            Volatile.Write(ref _problem, failed.Message);
        }
    }

    /// <summary>True where something was sealed, so that more may be due.</summary>
    private async Task<bool> StepAsync(CancellationToken cancellationToken)
    {
        if (_frontier is null)
        {
            var state = await seals.ReadSealStateAsync(cancellationToken).ConfigureAwait(false);
            watch.Know(state);
            _frontier = await new TreeReader(seals).FrontierAsync(state.Size, cancellationToken).ConfigureAwait(false);

            // The very first leaves are of the quarter-hour that just ended, at once: from then on the store knows where sealing goes on.
            _next = state.LastStart is { } last ? last + SealInterval.Length : SealInterval.StartOf(time.GetUtcNow()) - SealInterval.Length;
            if (state.LastStart is not null && !_isClockBegun)
            {
                _clock.Begin(_next + options.Value.SealLag);
            }

            _isClockBegun = true;
        }

        if (await AmendAsync(cancellationToken).ConfigureAwait(false))
        {
            return true;
        }

        var end = _next + SealInterval.Length;
        if (_frontier.Size > 0 && end + options.Value.SealLag > BelievedNow())
        {
            return false;
        }

        await watch.CloseAsync(end, cancellationToken).ConfigureAwait(false);
        await AppendAsync(await LeavesAsync(_next, cancellationToken).ConfigureAwait(false), [], EndsDay(end) ? DateOnly.FromDateTime(_next.UtcDateTime) : null, cancellationToken)
            .ConfigureAwait(false);
        _next = end;
        return true;
    }

    private DateTimeOffset BelievedNow()
    {
        var now = _clock.Read();
        if (_clock.Ahead > TimeSpan.Zero != _isWaiting)
        {
            _isWaiting = !_isWaiting;
            if (_isWaiting)
            {
                LogWaits(TimeSpan.FromSeconds(Math.Round(_clock.Ahead.TotalSeconds)), SealClock.Confirmation);
            }
        }

        return now;
    }

    private async Task<bool> AmendAsync(CancellationToken cancellationToken)
    {
        var late = await marks.ReadLateAsync(MarksMax, cancellationToken).ConfigureAwait(false);
        if (late.Count == 0)
        {
            return false;
        }

        // The writes that made these marks are over before their quarter-hours are read.
        await watch.SettleAsync(cancellationToken).ConfigureAwait(false);
        var leaves = new List<SealLeaf>();
        foreach (var mark in late.OrderBy(m => m.Start).ThenBy(m => m.PseId, StringComparer.Ordinal).Where(m => m.Start < _next))
        {
            var sealedBefore = await seals.ReadSealsAsync(mark.PseId, mark.Start, mark.Start + SealInterval.Length, cancellationToken).ConfigureAwait(false);
            var covered = sealedBefore.SelectMany(s => s.PollTimes).ToHashSet();
            var leaf = await LeafAsync(SealKind.Amendment, mark.PseId, mark.Start, covered, cancellationToken).ConfigureAwait(false);
            if (!leaf.Polls.IsEmpty)
            {
                LogAmended(mark.PseId, mark.Start, leaf.Polls.Length);
                leaves.Add(leaf);
            }
        }

        await AppendAsync(leaves, [.. late], null, cancellationToken).ConfigureAwait(false);
        return true;
    }

    private async Task<List<SealLeaf>> LeavesAsync(DateTimeOffset start, CancellationToken cancellationToken)
    {
        // Elements that left the design keep their leaves up to their last reading.
        var latest = await history.ReadLatestAsync(cancellationToken).ConfigureAwait(false);
        var elements = site.Current.Design.Agents.Keys.Concat(latest.Where(r => r.At >= start).Select(r => r.PseId)).Distinct(StringComparer.Ordinal);
        var leaves = new List<SealLeaf>();
        foreach (var pseId in elements.Order(StringComparer.Ordinal))
        {
            leaves.Add(await LeafAsync(SealKind.Seal, pseId, start, [], cancellationToken).ConfigureAwait(false));
        }

        return leaves;
    }

    private async Task<SealLeaf> LeafAsync(SealKind kind, string pseId, DateTimeOffset start, HashSet<long> covered, CancellationToken cancellationToken)
    {
        var polls = ImmutableArray.CreateBuilder<SealedPoll>();
        await foreach (var reading in history.ReadAsync(pseId, start, start + SealInterval.Length, cancellationToken).ConfigureAwait(false))
        {
            var poll = SealedPoll.Of(reading);
            if (!covered.Contains(poll.AtMicroseconds))
            {
                polls.Add(poll);
            }
        }

        return new SealLeaf(kind, pseId, SealInterval.MicrosecondsOf(start), polls.ToImmutable());
    }

    private async Task AppendAsync(List<SealLeaf> leaves, ImmutableArray<LateMark> done, DateOnly? day, CancellationToken cancellationToken)
    {
        var frontier = _frontier!;
        var first = frontier.Size;
        var stored = ImmutableArray.CreateBuilder<StoredSeal>(leaves.Count);
        var tiles = ImmutableArray.CreateBuilder<TreeTile>();

        // From here on the frontier runs ahead of the store; a failure drops it.
        foreach (var leaf in leaves)
        {
            var hash = leaf.Hash();
            stored.Add(new StoredSeal(
                frontier.Size, leaf.Kind, leaf.PseId, SealInterval.TimeOf(leaf.StartMicroseconds), [.. leaf.Polls.Select(p => p.AtMicroseconds)], hash));
            tiles.AddRange(frontier.Append(hash));
        }

        _frontier = null;
        var root = day is { } date && frontier.Size > 0 ? Signed(date, frontier) : null;
        await seals.AppendSealsAsync(new SealBatch(first, stored.ToImmutable(), tiles.ToImmutable(), root, done), cancellationToken).ConfigureAwait(false);
        _frontier = frontier;
        if (root is not null)
        {
            LogRoot(root.Day, root.Size, root.Root, root.IsSigned);
            lock (_unpublished)
            {
                _unpublished.Enqueue(root);
            }
        }
    }

    private SealedRoot Signed(DateOnly day, TreeFrontier frontier)
    {
        var at = SealInterval.TimeOf(SealInterval.MicrosecondsOf(time.GetUtcNow()));
        var root = new SealedRoot(day, frontier.Size, frontier.Root(), at, string.Empty, string.Empty);
        return signer.Sign(Encoding.UTF8.GetBytes(root.Text)) is { } signature
            ? root with { KeyId = signer.KeyId, Signature = Convert.ToBase64String(signature) }
            : root;
    }

    private async Task RememberRootsAsync(CancellationToken cancellationToken)
    {
        var since = DateOnly.FromDateTime((time.GetUtcNow() - PublishedAgain).UtcDateTime);
        foreach (var root in (await seals.ReadRootsAsync(cancellationToken).ConfigureAwait(false)).Where(r => r.Day >= since))
        {
            lock (_unpublished)
            {
                _unpublished.Enqueue(root);
            }
        }
    }

    private async Task PublishAsync(CancellationToken cancellationToken)
    {
        while (true)
        {
            SealedRoot? root;
            lock (_unpublished)
            {
                if (!_unpublished.TryPeek(out root))
                {
                    return;
                }
            }

            foreach (var publisher in publishers)
            {
                if (!await publisher.TryPublishAsync(root, cancellationToken).ConfigureAwait(false))
                {
                    return;
                }
            }

            lock (_unpublished)
            {
                _unpublished.Dequeue();
            }
        }
    }

    private static bool EndsDay(DateTimeOffset end) => end.UtcDateTime.TimeOfDay == TimeSpan.Zero;

    [LoggerMessage(2201, LogLevel.Information, "Root of {Day}: {Size} leaves, {Root}; signed: {IsSigned}")]
    private partial void LogRoot(DateOnly day, long size, Digest root, bool isSigned);

    [LoggerMessage(2202, LogLevel.Error, "Quarter-hours cannot be sealed: {Reason} It is tried again; nothing is lost meanwhile.")]
    private partial void LogCannotSeal(string reason);

    [LoggerMessage(2206, LogLevel.Warning, "The clock is {Ahead} ahead of the quarter-hours that were sealed: the service was away, or the clock was set forward. They are sealed once the clock has stood so for {Confirmation}. Check NTP on this machine.")]
    private partial void LogWaits(TimeSpan ahead, TimeSpan confirmation);

    [LoggerMessage(2205, LogLevel.Information, "{PseId}: {Count} polls came after {Start} was sealed; they are appended as an amendment.")]
    private partial void LogAmended(string pseId, DateTimeOffset start, int count);
}
