using PoeWatch.Domain.EnergyBalance;
using PoeWatch.Domain.PowerFlow;
using PoeWatch.Domain.Quantities;

namespace PoeWatch.Domain.Tests.EnergyBalance;

/// <summary>
/// A pass-through switch at the end of a cable, with devices that come and go, and two meters that are wrong in their own ways. All figures are drawn by seed; ranges are common
/// practice, no source: own draw 4 to 7 W, efficiency 88 to 95 %, a switch's volts within 1 %.
/// </summary>
internal sealed class DrawnSegment
{
    internal static readonly DateTimeOffset Start = new(2026, 1, 5, 0, 0, 0, TimeSpan.Zero);
    private readonly Random _chance;
    private readonly double _pseGain;
    private readonly double _farGain;
    private readonly double _volts;
    private readonly double _own;
    private readonly double _efficiency;
    private readonly double[][] _levels;

    public DrawnSegment(int seed)
    {
        _chance = new Random(seed);
        TrueOhms = Between(2.5, 9.5);
        (_pseGain, _farGain) = (1 + Between(-0.02, 0.02), 1 + Between(-0.02, 0.02));
        _volts = NominalVolts * (1 + Between(-0.01, 0.01));
        (_own, _efficiency) = (Between(4, 7), Between(0.88, 0.95));

        // All devices at their most are 35 W at most: what 54 V still carry over the worst of these loops.
        var devices = 2 + _chance.Next(3);
        _levels = [.. Enumerable.Range(0, devices).Select(_ => Between(25, 35) / devices).Select(most => new[] { 0.2 * most, Between(0.3, 0.7) * most, most })];
    }

    public static double NominalVolts => 54.0;

    public double TrueOhms { get; }

    /// <summary>Readings of both ends, the far one a while after the near one, as two polls are.</summary>
    /// <param name="growth">1.1: the loop has a tenth more than <see cref="TrueOhms"/>.</param>
    /// <param name="stepWatts">Resolution of both meters.</param>
    public IEnumerable<BalanceSample> Read(int hours, double stepWatts, double growth = 1.0)
    {
        var load = _levels.Select(device => device[0]).ToArray();
        var at = Start;
        for (var minute = 0; minute < hours * 60; minute++, at = at.AddMinutes(1))
        {
            var atPse = WattsAtPse(load, growth);
            for (var device = 0; device < load.Length; device++)
            {
                // Each device changes its mind about three times an hour.
                load[device] = _chance.NextDouble() < 0.05 / load.Length ? _levels[device][_chance.Next(3)] : load[device];
            }

            yield return new BalanceSample(
                at,
                Power.FromWatts(Rounded(atPse * _pseGain, stepWatts)),
                Power.FromWatts(Rounded((load.Sum() + Between(-0.02, 0.02)) * _farGain, stepWatts)),
                null,
                BalanceSample.Reference);
        }
    }

    private double WattsAtPse(double[] load, double growth) =>
        _volts * LoopFlow.Amperes(_volts, TrueOhms * growth, _own + ((load.Sum() + Between(-0.02, 0.02)) / _efficiency));

    private static double Rounded(double watts, double step) => Math.Round(watts / step) * step;

    private double Between(double least, double most) => least + (_chance.NextDouble() * (most - least));
}
