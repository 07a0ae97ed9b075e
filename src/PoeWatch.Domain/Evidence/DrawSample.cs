using PoeWatch.Domain.Assessment;
using PoeWatch.Domain.Readings;

namespace PoeWatch.Domain.Evidence;

/// <summary>What one poll said of one place's watts at the PSE; unknown where the poll brought nothing.</summary>
/// <param name="At">UTC time of the reading.</param>
public readonly record struct DrawSample(DateTimeOffset At, KnownPower Power)
{
    /// <summary>The sample of one port in a finished poll: unknown where the poll was not answered or left the port out.</summary>
    public static DrawSample OfPort(SwitchReading reading, PsePortRef port)
    {
        var found = reading.Ports.FirstOrDefault(p => p.Port == port);
        return new DrawSample(reading.At, found is null ? KnownPower.Nothing : new KnownPower(found.DrawAtPse, found.Provenance));
    }
}

/// <summary>A stretch of time [Start, End) in which one number of watts is taken to hold.</summary>
public readonly record struct DrawSpan(DateTimeOffset Start, DateTimeOffset End, KnownPower Power)
{
    public TimeSpan Duration => End - Start;
}
