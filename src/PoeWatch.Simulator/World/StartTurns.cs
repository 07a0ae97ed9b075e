using System.Collections.Immutable;

namespace PoeWatch.Simulator.World;

/// <summary>
/// Whose turn it is after an outage: a group that starts a few ports at once starts the most critical first, within a level the lowest number. For one
/// look of the controller at the ports that something hangs on, asked in the order it gives.
/// </summary>
internal struct StartTurns
{
    private readonly bool _isStarting;
    private int _turnsLeft;

    /// <param name="powered">Since it got its power.</param>
    /// <param name="isFirstStart">A world begins with everything on.</param>
    public StartTurns(PseGroupShape group, TimeSpan powered, bool isFirstStart)
    {
        if (group.StartsAtOnce is not { } atOnce || isFirstStart)
        {
            return;
        }

        var rounds = group.StartInterval > TimeSpan.Zero ? powered.Ticks / group.StartInterval.Ticks : long.MaxValue;
        _isStarting = rounds < group.Ports.Length;
        _turnsLeft = _isStarting ? (int)Math.Min(int.MaxValue, (rounds + 1) * atOnce) : 0;
    }

    public readonly IEnumerable<PsePortMachine> InOrder(ImmutableArray<PsePortMachine> ports) =>
        _isStarting ? ports.OrderBy(port => port.Priority).ThenBy(port => port.Shape.Ref.Port) : ports;

    /// <summary>True where the next port that something hangs on may start.</summary>
    public bool HasCome() => !_isStarting || _turnsLeft-- > 0;
}
