using PoeWatch.Domain.Poe;
using PoeWatch.Domain.Quantities;
using PoeWatch.Domain.Readings;

namespace PoeWatch.TestKit.Stores;

/// <summary>
/// Polls of a made-up site for measuring storage: of ten ports two are off, four steady (20 mW of noise), three follow day and night (60 mW), one is a
/// camera that moves (40 mW). Seeded; the answers come up to 20 ms after the minute.
/// </summary>
public sealed class SampleSite(int seed, int ports, int stepMilliwatts)
{
    private readonly Random _random = new(seed);

    /// <summary>Time of the first polls.</summary>
    public static DateTimeOffset Start { get; } = new(2026, 3, 1, 0, 0, 0, TimeSpan.Zero);

    public static string Name(int number) => $"switch-{number}";

    /// <summary>The poll of one switch in one minute.</summary>
    public SwitchReading Poll(int number, int minute)
    {
        var pseId = Name(number);
        var answered = Start.AddMinutes(minute).AddSeconds(number % 60).AddTicks(_random.Next(200_000));
        var readings = new PortReading[ports];
        for (var port = 1; port <= ports; port++)
        {
            readings[port - 1] = port % 10 < 2
                ? new PortReading(new PsePortRef(pseId, 1, port), PortState.Searching, Power.Zero, Provenance.Off, null)
                : new PortReading(new PsePortRef(pseId, 1, port), PortState.Delivering, Draw(port, minute), Provenance.Measured, PoeClass.Class4);
        }

        return new SwitchReading(
            pseId,
            (minute * 20L) + number,
            answered,
            PollOutcome.Answered,
            "",
            TimeSpan.FromMilliseconds(Math.Floor((answered - Start.AddDays(-70)).TotalMilliseconds / 10) * 10),
            [.. readings],
            [new GroupReading(1, Power.FromWatts(720), Power.FromWatts(311 + (minute / 30 % 3)), Provenance.Measured, true)]);
    }

    private Power Draw(int port, int minute)
    {
        var milliwatts = (port % 10) switch
        {
            < 6 => 6_500 + (20 * Noise()),
            < 9 => 9_000 + (2_500 * Math.Sin(minute * Math.Tau / 1440)) + (60 * Noise()),
            _ => 14_000 + (_random.Next(20) == 0 ? 5_000 : 0) + (40 * Noise()),
        };
        return Power.FromMilliwatts(Math.Round(milliwatts / stepMilliwatts) * stepMilliwatts);
    }

    private double Noise() => Math.Sqrt(-2 * Math.Log(1 - _random.NextDouble())) * Math.Cos(Math.Tau * _random.NextDouble());
}
