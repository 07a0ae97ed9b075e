using PoeWatch.Domain.Quantities;

namespace PoeWatch.Domain.Readings;

/// <summary>What a UPS says of itself (RFC 1628). Immutable; null and unknown is what it does not say.</summary>
/// <param name="OnBatteryFor">How long it has been on battery, at most since its agent started; zero where it is not.</param>
/// <param name="Remaining">Its own estimate until the battery is empty at its present load, whole minutes.</param>
/// <param name="ChargePercent">0 to 100.</param>
/// <param name="LoadPercent">Of what it can give, 0 to 200; with several output lines that of the one that carries most.</param>
/// <param name="Output">True power of all output lines together.</param>
public sealed record UpsFigures(
    UpsSource Source, UpsBatteryState Battery, TimeSpan? OnBatteryFor, TimeSpan? Remaining, int? ChargePercent, int? LoadPercent, Power? Output)
{
    /// <summary>Null where neither the source nor the time on battery tells.</summary>
    public bool? IsOnBattery => Source switch
    {
        UpsSource.Battery => true,
        UpsSource.Unknown or UpsSource.Other => OnBatteryFor is { } time ? time > TimeSpan.Zero : null,
        _ => false,
    };
}

/// <summary>What a UPS of the design said when its agent was last asked. Immutable.</summary>
/// <param name="UpsId">Id in the design.</param>
/// <param name="Told">Null where the agent did not answer or has no UPS-MIB.</param>
/// <param name="At">When it answered, UTC.</param>
/// <param name="GoodUntil">From then on it is too old to say anything.</param>
/// <param name="Problem">Why the last question brought nothing, with what to do; empty where it did.</param>
public sealed record UpsReading(string UpsId, UpsFigures? Told, DateTimeOffset At, DateTimeOffset GoodUntil, string Problem)
{
    /// <summary>What it said, where that is not too old.</summary>
    public UpsFigures? ToldAt(DateTimeOffset now) => now < GoodUntil ? Told : null;
}
