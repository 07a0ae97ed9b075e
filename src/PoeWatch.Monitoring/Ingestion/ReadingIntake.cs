using PoeWatch.Domain.Readings;
using PoeWatch.Monitoring.Abstractions;

namespace PoeWatch.Monitoring.Ingestion;

/// <summary>
/// Where a finished poll enters the service: it gets its sequence, goes to the state and to the keeper, and whoever listens is told.
/// Thread safe; never blocks.
/// </summary>
public sealed class ReadingIntake(NetworkState state, ReadingKeeper keeper) : IReadingSink
{
    private readonly Lock _gate = new();
    private long _sequence;

    /// <summary>Raised after a reading went in, on the poll's own thread: listeners only set a flag.</summary>
    public event Action? Arrived;

    /// <summary>Shows what a former life of the service kept, until newer readings come. Sequence 0 says that they are kept.</summary>
    public void Restore(IReadOnlyList<SwitchReading> latest)
    {
        foreach (SwitchReading reading in latest)
        {
            state.Update(reading with { Sequence = 0 });
        }

        Arrived?.Invoke();
    }

    public void Accept(SwitchReading reading)
    {
        // One lock around number and queue: else a reading with a lower number could enter the queue after a higher one was kept,
        // and would pass as kept although it is not.
        lock (_gate)
        {
            SwitchReading numbered = reading with { Sequence = ++_sequence };
            state.Update(numbered);
            if (keeper.Add(numbered) is { } dropped)
            {
                state.NeverKept(dropped);
            }
        }

        Arrived?.Invoke();
    }
}
