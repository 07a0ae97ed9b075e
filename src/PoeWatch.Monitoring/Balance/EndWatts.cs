using PoeWatch.Domain.Quantities;
using PoeWatch.Domain.Readings;
using PoeWatch.Monitoring.Abstractions;

namespace PoeWatch.Monitoring.Balance;

/// <summary>What one poll says of one end of a metered segment.</summary>
/// <param name="At">When the watts were true, as far as the agent says how old they are.</param>
/// <param name="Watts">Of all asked ports together; null unless each one is metered or off: no estimate, no ceiling, nothing that a PD says of itself.</param>
/// <param name="Step">Coarsest step of them; null where nobody says.</param>
internal readonly record struct EndWatts(DateTimeOffset At, Power? Watts, Power? Step)
{
    public static EndWatts Of(SwitchReading reading, IReadOnlyCollection<PsePortRef> ports)
    {
        var found = reading.Ports.Where(p => ports.Contains(p.Port)).ToList();
        var age = found.Max(p => p.Age) ?? TimeSpan.Zero;
        Power? step = found.Max(p => p.Resolution);
        if (reading.Outcome is not (PollOutcome.Answered or PollOutcome.Partial) || found.Count < ports.Count)
        {
            return new EndWatts(reading.At, null, step);
        }

        return new EndWatts(reading.At - age, Sum(found.Select(p => (p.DrawAtPse, p.Provenance))), step);
    }

    /// <summary>Of samples of the history, one for each asked port.</summary>
    public static Power? Sum(IEnumerable<PortSample> samples) => Sum(samples.Select(s => (s.IsThere ? s.DrawAtPse : null, s.Provenance)));

    private static Power? Sum(IEnumerable<(Power? Watts, Provenance Provenance)> ports)
    {
        var sum = Power.Zero;
        foreach (var (watts, provenance) in ports)
        {
            if (watts is not { } known || provenance is not (Provenance.Measured or Provenance.Derived or Provenance.Off))
            {
                return null;
            }

            sum += known;
        }

        return sum;
    }
}
