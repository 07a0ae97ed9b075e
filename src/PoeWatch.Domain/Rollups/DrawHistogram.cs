using System.Collections.Immutable;

namespace PoeWatch.Domain.Rollups;

/// <summary>How long the draw was in each bin of <see cref="BinMilliwatts"/>, of the time that a draw was known. Bin b is [b, b + 1) times the width. Not thread safe.</summary>
public sealed class DrawHistogram
{
    /// <summary>Width of a bin: half a watt.</summary>
    public const int BinMilliwatts = 500;

    private readonly SortedDictionary<int, long> _ticks = [];

    /// <summary>Bins that anything fell into, lowest first, with the time.</summary>
    public ImmutableArray<KeyValuePair<int, TimeSpan>> Bins => [.. _ticks.Select(b => KeyValuePair.Create(b.Key, TimeSpan.FromTicks(b.Value)))];

    public TimeSpan Total => TimeSpan.FromTicks(_ticks.Values.Sum());

    public static int BinOf(long milliwatts) => (int)Math.Clamp(Math.DivRem(milliwatts, BinMilliwatts, out var rest) - (rest < 0 ? 1 : 0), int.MinValue, int.MaxValue);

    public void Add(int bin, TimeSpan time)
    {
        if (time > TimeSpan.Zero)
        {
            _ticks[bin] = _ticks.GetValueOrDefault(bin) + time.Ticks;
        }
    }

    /// <summary>Adds all of another one.</summary>
    public void Add(DrawHistogram other)
    {
        foreach (var (bin, ticks) in other._ticks)
        {
            Add(bin, TimeSpan.FromTicks(ticks));
        }
    }
}
