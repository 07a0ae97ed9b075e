using System.Collections.Immutable;
using PoeWatch.Domain.Quantities;

namespace PoeWatch.Domain.EnergyBalance;

/// <summary>
/// Makes one point of each stretch of time in which both ends stood still. Two agents are never read at one moment: across a change of load the difference of their
/// readings is the change and not the cable. Holds sums, however long a stretch is. For one thread.
/// </summary>
/// <param name="band">By how much either end may stray from the first reading of a stretch: a few steps of the coarser meter.</param>
/// <param name="longestGap">Readings further apart belong to two stretches.</param>
public sealed class SteadyStretches(Power band, TimeSpan longestGap)
{
    /// <summary>Fewer readings than this are no stretch: the first and the last may straddle a change and are left out.</summary>
    public const int FewestReadings = 3;

    private BalanceSample _first;
    private BalanceSample _last;
    private DateTimeOffset _from;
    private int _count;
    private (double Near, double Far, double Volts, double Celsius) _between;

    /// <param name="samples">In the order of time.</param>
    /// <param name="band">By how much either end may stray from the first reading of a stretch.</param>
    /// <param name="longestGap">Readings further apart belong to two stretches.</param>
    public static ImmutableArray<BalanceSample> Of(IEnumerable<BalanceSample> samples, Power band, TimeSpan longestGap)
    {
        ArgumentNullException.ThrowIfNull(samples);
        var stretches = new SteadyStretches(band, longestGap);
        return [.. samples.Select(sample => stretches.Add(sample)).Append(stretches.End()).OfType<BalanceSample>()];
    }

    /// <summary>Takes the next sample in the order of time.</summary>
    /// <returns>The point of the stretch that it ended; null where it ended none that counts.</returns>
    public BalanceSample? Add(in BalanceSample sample)
    {
        var ended = _count > 0 && !Continues(sample) ? End() : null;
        if (_count == 0)
        {
            _first = sample;
        }
        else if (_count >= 2)
        {
            _between = (
                _between.Near + _last.AtPse.Watts, _between.Far + (_last.WattsAtFarEnd?.Watts ?? 0), _between.Volts + (_last.VoltsAtFarEnd?.Volts ?? 0),
                _between.Celsius + _last.Conductors.Celsius);
        }
        else
        {
            _from = sample.At;
        }

        _last = sample;
        _count++;
        return ended;
    }

    /// <summary>Ends the stretch under way.</summary>
    /// <returns>Its point; null where it is too short to count.</returns>
    public BalanceSample? End()
    {
        double of = _count - 2;
        BalanceSample? point = _count < FewestReadings ? null : new BalanceSample(
            _from,
            Power.FromWatts(_between.Near / of),
            _first.WattsAtFarEnd is null ? null : Power.FromWatts(_between.Far / of),
            _first.VoltsAtFarEnd is null ? null : Voltage.FromVolts(_between.Volts / of),
            Temperature.FromCelsius(_between.Celsius / of));
        (_count, _between) = (0, default);
        return point;
    }

    private bool Continues(in BalanceSample next) =>
        next.At - _last.At <= longestGap
        && Math.Abs((next.AtPse - _first.AtPse).Watts) <= band.Watts
        && Math.Abs(((next.WattsAtFarEnd ?? Power.Zero) - (_first.WattsAtFarEnd ?? Power.Zero)).Watts) <= band.Watts
        && next.WattsAtFarEnd.HasValue == _first.WattsAtFarEnd.HasValue
        && next.VoltsAtFarEnd.HasValue == _first.VoltsAtFarEnd.HasValue;
}
