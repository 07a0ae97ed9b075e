using PoeWatch.Domain.Assessment;
using PoeWatch.Domain.Quantities;
using PoeWatch.Domain.Readings;

namespace PoeWatch.Domain.Rollups;

/// <summary>Counts what is known of the draw in one interval after another. Whole milliwatts times ticks, so that nothing is lost in adding. Not thread safe.</summary>
public sealed class DrawTally
{
    private const int Percentile95 = 950;
    private const double TicksPerMilliwattHour = TimeSpan.TicksPerHour * 1_000.0;

    private readonly HeldDraws _held = new();
    private readonly long[] _ticks = new long[KnownTime.Counted.Length];
    private Int128 _milliwattTicks;
    private long? _min;
    private long? _max;
    private long? _ceiling;

    /// <summary>Takes what held for that long within the interval. What is unknown is passed over.</summary>
    public void Add(TimeSpan time, KnownPower power)
    {
        var place = KnownTime.Counted.IndexOf(power.Provenance);
        if (time <= TimeSpan.Zero || place < 0 || power.Watts is not { } watts)
        {
            return;
        }

        var milliwatts = watts.Milliwatts;
        _ticks[place] += time.Ticks;
        if (!power.Provenance.IsDraw())
        {
            _ceiling = Math.Max(_ceiling ?? milliwatts, milliwatts);
            return;
        }

        _milliwattTicks += (Int128)milliwatts * time.Ticks;
        _min = Math.Min(_min ?? milliwatts, milliwatts);
        _max = Math.Max(_max ?? milliwatts, milliwatts);
        _held.Add(milliwatts, time.Ticks);
    }

    /// <summary>What was counted, as the interval [start, end); the next one begins with nothing.</summary>
    public DrawRollup Close(DateTimeOffset start, DateTimeOffset end)
    {
        var known = default(KnownTime);
        for (var i = 0; i < _ticks.Length; i++)
        {
            if (_ticks[i] > 0)
            {
                known += KnownTime.For(KnownTime.Counted[i], TimeSpan.FromTicks(_ticks[i]));
            }
        }

        var rollup = new DrawRollup(
            start, end, OfMilliwatts(_min), OfMilliwatts(_max), OfMilliwatts(_held.Percentile(Percentile95)),
            (double)_milliwattTicks / TicksPerMilliwattHour, OfMilliwatts(_ceiling), known);
        Array.Clear(_ticks);
        _held.Clear();
        (_milliwattTicks, _min, _max, _ceiling) = (0, null, null, null);
        return rollup;
    }

    private static Power? OfMilliwatts(long? milliwatts) => milliwatts is { } known ? Power.FromMilliwatts(known) : null;
}
