using System.Numerics;

namespace PoeWatch.Domain.Rollups;

/// <summary>
/// The draws of an interval with the time that each held, for percentiles. Exact to the milliwatt below 131 W and to 0.002 % above, in bounded memory: however
/// long the interval, no more values are held than can be told apart. Not thread safe.
/// </summary>
public sealed class HeldDraws
{
    private const int ExactBits = 17;
    private const int CompactAtLeast = 4_096;

    private readonly List<(long Milliwatts, long Ticks)> _held = [];
    private int _compactAt = CompactAtLeast;

    public void Add(long milliwatts, long ticks)
    {
        if (_held.Count > 0 && _held[^1].Milliwatts == milliwatts)
        {
            _held[^1] = (milliwatts, _held[^1].Ticks + ticks);
            return;
        }

        _held.Add((milliwatts, ticks));
        if (_held.Count >= _compactAt)
        {
            Compact();
        }
    }

    public void Clear()
    {
        _held.Clear();
        _compactAt = CompactAtLeast;
    }

    /// <summary>Smallest draw in milliwatts that the draw was at or below for that share of the time; null where nothing was held.</summary>
    /// <param name="permille">Share of the time, 1..1000 thousandths.</param>
    public long? Percentile(int permille)
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(permille, 1);
        ArgumentOutOfRangeException.ThrowIfGreaterThan(permille, 1_000);
        _held.Sort(static (a, b) => a.Milliwatts.CompareTo(b.Milliwatts));
        var all = Int128.Zero;
        foreach (var (_, ticks) in _held)
        {
            all += ticks;
        }

        var below = Int128.Zero;
        foreach (var (milliwatts, ticks) in _held)
        {
            below += ticks;
            if (below * 1_000 >= all * permille)
            {
                return milliwatts;
            }
        }

        return null;
    }

    private void Compact()
    {
        for (var i = 0; i < _held.Count; i++)
        {
            _held[i] = (Rounded(_held[i].Milliwatts), _held[i].Ticks);
        }

        _held.Sort(static (a, b) => a.Milliwatts.CompareTo(b.Milliwatts));
        var last = 0;
        for (var i = 1; i < _held.Count; i++)
        {
            if (_held[i].Milliwatts == _held[last].Milliwatts)
            {
                _held[last] = (_held[last].Milliwatts, _held[last].Ticks + _held[i].Ticks);
            }
            else
            {
                _held[++last] = _held[i];
            }
        }

        _held.RemoveRange(last + 1, _held.Count - last - 1);
        _compactAt = Math.Max(CompactAtLeast, 2 * _held.Count);
    }

    private static long Rounded(long milliwatts)
    {
        var spare = Math.Max(0, 64 - BitOperations.LeadingZeroCount((ulong)Math.Abs(milliwatts)) - ExactBits);
        return milliwatts >> spare << spare;
    }
}
