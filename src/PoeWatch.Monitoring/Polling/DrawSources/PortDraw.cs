using PoeWatch.Domain.Quantities;
using PoeWatch.Domain.Readings;

namespace PoeWatch.Monitoring.Polling.DrawSources;

/// <summary>What one source says of one port. Immutable; <c>default</c> says nothing.</summary>
/// <param name="Watts">At the PSE; at the PD where provenance is <see cref="Provenance.ReportedByPd"/>, to which the assessment adds the loss.</param>
/// <param name="Resolution">Smallest step of the number, or the accuracy that the agent states where that is coarser.</param>
/// <param name="Age">How old it was when it was read; zero for a value that the agent gives as of now.</param>
internal readonly record struct PortDraw(Power Watts, Provenance Provenance, Power Resolution, TimeSpan Age)
{
    public bool IsKnown => Provenance != Provenance.Unknown;
}

/// <summary>
/// The ports of one poll and the best that any source said of each. Sources put in order of rank: what stands is not replaced, except a ceiling
/// by a draw. Used by one poll at a time.
/// </summary>
internal sealed class DrawSlots(int count)
{
    private PortDraw[] _draws = new PortDraw[count];
    private int[] _sources = new int[count];

    /// <summary>Place of the source that puts now, in the plan.</summary>
    public int Source { get; set; }

    public int Count { get; private set; } = count;

    /// <summary>Empties it for another poll.</summary>
    public void Reset(int slots)
    {
        if (_draws.Length < slots)
        {
            (_draws, _sources) = (new PortDraw[slots], new int[slots]);
        }

        (Count, Source) = (slots, 0);
        _draws.AsSpan().Clear();
        _sources.AsSpan().Clear();
    }

    public PortDraw this[int slot] => _draws[slot];

    /// <summary>Place in the plan of the source that the slot's draw is of.</summary>
    public int SourceOf(int slot) => _sources[slot];

    public void Put(int slot, PortDraw draw)
    {
        if (slot >= 0 && slot < Count && draw.IsKnown && (!_draws[slot].IsKnown || (!_draws[slot].Provenance.IsDraw() && draw.Provenance.IsDraw())))
        {
            _draws[slot] = draw;
            _sources[slot] = Source;
        }
    }

    /// <summary>The number stays, what it is worth changes.</summary>
    public void Relabel(int slot, Provenance provenance) => _draws[slot] = _draws[slot] with { Provenance = provenance };
}
