using System.Collections.Immutable;

namespace PoeWatch.Simulator.Faults;

/// <summary>An event and when it comes, in real time since the harbour started.</summary>
public readonly record struct ScriptedEvent(TimeSpan At, SimulatedEvent Event);

/// <summary>
/// What happens to the harbour and when. Together with design, seed and start it makes the world: nothing else does. Immutable and
/// thread safe; events of the same moment come in the order given.
/// </summary>
public sealed class FaultScript
{
    private readonly ImmutableArray<(TimeSpan At, FaultState State)> _states;

    public FaultScript(IEnumerable<ScriptedEvent> events)
    {
        Events = [.. events.OrderBy(scripted => scripted.At)];
        var states = ImmutableArray.CreateBuilder<(TimeSpan, FaultState)>(Events.Length);
        var state = FaultState.Calm;
        foreach (var (at, happening) in Events)
        {
            state = happening.ApplyTo(state, at);
            states.Add((at, state));
        }

        _states = states.MoveToImmutable();
    }

    /// <summary>A script in which nothing happens.</summary>
    public static FaultScript Calm { get; } = new([]);

    /// <summary>The events in the order they come.</summary>
    public ImmutableArray<ScriptedEvent> Events { get; }

    /// <summary>What the events up to and at this moment amount to.</summary>
    internal FaultState At(TimeSpan sinceStart)
    {
        var low = 0;
        var high = _states.Length;
        while (low < high)
        {
            var middle = (low + high) / 2;
            if (_states[middle].At <= sinceStart)
            {
                low = middle + 1;
            }
            else
            {
                high = middle;
            }
        }

        return low == 0 ? FaultState.Calm : _states[low - 1].State;
    }
}
