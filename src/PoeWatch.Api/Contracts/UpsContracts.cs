using PoeWatch.Domain.Readings;

namespace PoeWatch.Api.Contracts;

/// <summary>What a UPS says of itself over UPS-MIB (RFC 1628): its own word, held against nothing. All null where it was not asked yet or what it said is too old.</summary>
/// <param name="Source">Where its output comes from: normal, battery, bypass, booster, reducer, none, other or unknown.</param>
/// <param name="IsOnBattery">Null where it does not say.</param>
/// <param name="OnBatterySince">UTC, to the second; at the earliest when its agent started. Null where it is not on battery or does not say since when.</param>
/// <param name="RemainingSeconds">Its own estimate until the battery is empty at its present load, in whole minutes.</param>
/// <param name="Battery">normal, low, depleted or unknown.</param>
/// <param name="LoadPercent">Of what it can give; with several output lines of the one that carries most.</param>
/// <param name="OutputW">True power of its output lines together.</param>
/// <param name="ReadFrom">Where these figures come from.</param>
/// <param name="ReadAt">When it last answered; null where never.</param>
/// <param name="AgeSeconds">Since then; null where it never answered.</param>
/// <param name="Problem">Why the last question brought nothing, with what to do; empty where it did.</param>
public sealed record UpsTellsContract(
    string Source,
    bool? IsOnBattery,
    DateTimeOffset? OnBatterySince,
    double? RemainingSeconds,
    string Battery,
    int? ChargePercent,
    int? LoadPercent,
    double? OutputW,
    string ReadFrom,
    DateTimeOffset? ReadAt,
    double? AgeSeconds,
    string Problem)
{
    private const string Mib = "UPS-MIB (RFC 1628)";

    internal static UpsTellsContract From(UpsReading? reading, DateTimeOffset now)
    {
        UpsFigures? told = reading?.ToldAt(now);
        var answered = reading?.Told is not null;
        return new(
            Names.Kebab((told?.Source ?? UpsSource.Unknown).ToString()),
            told?.IsOnBattery,
            told is { IsOnBattery: true, OnBatteryFor: { } time } && time > TimeSpan.Zero ? ToSecond(reading!.At - time) : null,
            told?.Remaining?.TotalSeconds,
            Names.Kebab((told?.Battery ?? UpsBatteryState.Unknown).ToString()),
            told?.ChargePercent,
            told?.LoadPercent,
            told?.Output.RoundedW(),
            Mib,
            answered ? reading!.At : null,
            answered ? Math.Round((now - reading!.At).TotalSeconds, 3) : null,
            reading?.Problem ?? "");
    }

    private static DateTimeOffset ToSecond(DateTimeOffset at) => new(at.Ticks - (at.Ticks % TimeSpan.TicksPerSecond), at.Offset);
}
