using PoeWatch.Domain.Evidence.Seals;
using PoeWatch.Monitoring.Abstractions;
using PoeWatch.Monitoring.Sealing;

namespace PoeWatch.Monitoring.Notices;

/// <summary>Tells each day's root to the roles that asked for it, so that it lies where nobody here can change it. The text is the root's file as it is.</summary>
public sealed class RootNotices(INoticeOutbox outbox) : IRootPublisher
{
    /// <summary>What roles ask for.</summary>
    public const string Topic = "evidence-root";

    public async Task<bool> TryPublishAsync(SealedRoot root, CancellationToken cancellationToken)
    {
        try
        {
            await outbox.PostAsync(FormattableString.Invariant($"{root.Day:yyyy-MM-dd}"), Topic, "evidence", RootFolder.Json(root), cancellationToken).ConfigureAwait(false);
            return true;
        }
        catch (StoreException)
        {
            // The keeper tries again; the store's own troubles are told elsewhere.
            return false;
        }
    }
}
