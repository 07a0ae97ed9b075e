using PoeWatch.Monitoring.Abstractions;

namespace PoeWatch.Monitoring.Service;

/// <summary>Holds the newest view and wakes whoever waits for one. One writer, any number of readers that never lock.</summary>
public sealed class SiteViewHolder : ISiteView
{
    private volatile Slot _slot;

    public SiteViewHolder(SiteView first) => _slot = new Slot(first);

    public SiteView Current => _slot.View;

    public async Task<SiteView> WaitForNewerAsync(long version, CancellationToken cancellationToken)
    {
        Slot slot = _slot;
        while (slot.View.Version <= version)
        {
            await slot.Replaced.Task.WaitAsync(cancellationToken).ConfigureAwait(false);
            slot = _slot;
        }

        return slot.View;
    }

    internal void Replace(SiteView view)
    {
        Slot old = _slot;
        _slot = new Slot(view);
        old.Replaced.TrySetResult();
    }

    private sealed class Slot(SiteView view)
    {
        public SiteView View { get; } = view;

        // Continuations run elsewhere: a slow reader must not hold up the writer.
        public TaskCompletionSource Replaced { get; } = new(TaskCreationOptions.RunContinuationsAsynchronously);
    }
}
