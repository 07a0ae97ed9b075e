using PoeWatch.Simulator.Faults;

namespace PoeWatch.Simulator.World;

/// <summary>What a meter last read. Not thread safe.</summary>
internal sealed class HeldReading<T>
    where T : struct
{
    private (Beat Beat, long Round)? _round;

    public T Value { get; private set; }

    /// <summary>Reads, unless what was read is repeated and its time is not over.</summary>
    public void Read(T flowing, Beat? repeats, TimeSpan now)
    {
        var round = repeats is { } beat ? (beat, beat.RoundsAt(now)) : ((Beat, long)?)null;
        if (round is null || round != _round)
        {
            Value = flowing;
        }

        _round = round;
    }

    public void Forget() => (Value, _round) = (default, null);
}
