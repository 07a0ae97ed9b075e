using PoeWatch.Domain.Quantities;

namespace PoeWatch.Monitoring.Polling.DrawSources;

/// <summary>One delivering port as its draw column shows it, with what it may be an echo of.</summary>
/// <param name="ClassCeilings">What the port's class allows at the PSE, by each clause that knows the class.</param>
/// <param name="Allocated">What the PSE set aside; null where unknown.</param>
internal readonly record struct ShownDraw(int Slot, Power Shown, Power Resolution, IReadOnlyList<Power> ClassCeilings, Power? Allocated)
{
    public bool IsClassCeiling => Matches(ClassCeilings);

    public bool IsCeiling => IsClassCeiling || (Allocated is { } allocated && IsAt(allocated));

    private bool Matches(IReadOnlyList<Power> ceilings)
    {
        foreach (Power ceiling in ceilings)
        {
            if (IsAt(ceiling))
            {
                return true;
            }
        }

        return false;
    }

    private bool IsAt(Power ceiling) => Math.Abs(Shown.Watts - ceiling.Watts) <= (Resolution.Watts / 2) + 1e-9;
}

/// <summary>
/// Finds draw columns that are none: where every delivering port shows exactly its class ceiling or its allocation, poll after poll, the column is
/// taken for an allocation until a port differs. One of it watches one group of one agent.
/// </summary>
internal sealed class AllocationWatch
{
    /// <summary>Polls after which an echo is no accident, whatever the resolution. Common practice, no source.</summary>
    public const int PollsMin = 20;

    // So many ports at exactly their class ceilings, to a tenth of a watt, are no accident at once.
    private const int PortsAtOnce = 3;
    private const double FineWatts = 0.1;

    private readonly Dictionary<int, Power> _last = [];
    private int _echoes;

    /// <summary>True where the column is taken for an allocation.</summary>
    public bool IsAllocation { get; private set; }

    /// <summary>Takes the delivering ports of one poll.</summary>
    public void Observe(IReadOnlyCollection<ShownDraw> ports)
    {
        if (ports.Count == 0)
        {
            return;
        }

        if (!ports.All(port => port.IsCeiling))
        {
            Differs();
            return;
        }

        // An allocation that follows a draw moves with it; a ceiling stands still.
        var moved = ports.Any(port => !port.IsClassCeiling && _last.TryGetValue(port.Slot, out Power before) && before != port.Shown);
        _echoes = moved && !IsAllocation ? 0 : _echoes + 1;
        foreach (ShownDraw port in ports)
        {
            _last[port.Slot] = port.Shown;
        }

        var atOnce = ports.Count >= PortsAtOnce && ports.All(port => port.IsClassCeiling && port.Resolution.Watts <= FineWatts);
        IsAllocation |= atOnce || _echoes >= PollsMin;
    }

    /// <summary>Takes it that some delivering port showed neither its ceiling nor its allocation.</summary>
    public void Differs()
    {
        (_echoes, IsAllocation) = (0, false);
        _last.Clear();
    }
}
