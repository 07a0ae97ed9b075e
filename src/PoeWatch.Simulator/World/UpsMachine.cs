using PoeWatch.Domain.Design;
using PoeWatch.Domain.Quantities;

namespace PoeWatch.Simulator.World;

/// <summary>What a UPS showed at the last look.</summary>
/// <param name="OnBatteryFor">Null while it has mains.</param>
/// <param name="Charge">Share of the full battery, 0 to 1.</param>
/// <param name="Remaining">At the present load.</param>
internal sealed record UpsSnapshot(TimeSpan? OnBatteryFor, double Charge, TimeSpan Remaining, Power Output);

/// <summary>One UPS with its battery over time: feeds from it while the mains is gone, until it is empty. Not thread safe; the world steps it.</summary>
internal sealed class UpsMachine(Ups ups)
{
    // A tenth of the battery an hour: common practice, no source.
    private const double ChargedPerHour = 0.1;

    // RFC 1628 tells whole minutes; an agent with next to no load tells a large number.
    private static readonly TimeSpan s_longest = TimeSpan.FromDays(7);

    private readonly double _fullWattHours = ups.UsableWattHours * ups.BatteryHealth.Fraction;
    private double _wattHours = ups.UsableWattHours * ups.BatteryHealth.Fraction;
    private TimeSpan? _onBatterySince;

    public Ups Ups => ups;

    /// <summary>False once the battery is empty, until the mains comes back.</summary>
    public bool IsFeeding => _onBatterySince is null || _wattHours > 0;

    /// <summary>One step of so long.</summary>
    /// <param name="load">At its output.</param>
    public void Step(bool hasMains, Power load, TimeSpan now, TimeSpan length)
    {
        _onBatterySince = hasMains ? null : _onBatterySince ?? now;
        var change = hasMains ? _fullWattHours * ChargedPerHour : -load.Watts / ups.InverterEfficiency.Fraction;
        _wattHours = Math.Clamp(_wattHours + (change * length.TotalHours), 0, _fullWattHours);
        Shown = new UpsSnapshot(now - _onBatterySince, _wattHours / _fullWattHours, Remaining(load), load);
    }

    public UpsSnapshot Shown { get; private set; } = new(null, 1, s_longest, Power.Zero);

    private TimeSpan Remaining(Power load)
    {
        var hours = load.Watts > 0 ? _wattHours * ups.InverterEfficiency.Fraction / load.Watts : double.MaxValue;
        return hours < s_longest.TotalHours ? TimeSpan.FromHours(hours) : s_longest;
    }
}
