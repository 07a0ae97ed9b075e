using PoeWatch.Domain.Quantities;

namespace PoeWatch.Domain.EnergyBalance;

/// <summary>
/// Makes samples of the readings of both ends: each reading counts once, and only together with one of the other end that is near in time. For one thread.
/// </summary>
public sealed class EndPairing(MeteredSegment segment)
{
    private (DateTimeOffset At, Power Watts)? _near;
    private (DateTimeOffset At, Power Watts)? _far;

    /// <summary>Takes a reading of the feeding end, in the order of time of both ends.</summary>
    /// <param name="watts">Null where no draw is known.</param>
    /// <returns>A sample where one came of it.</returns>
    public BalanceSample? NoteNear(DateTimeOffset at, Power? watts)
    {
        _near = watts is { } known ? (at, known) : null;
        return Paired();
    }

    /// <summary>Takes a reading of the far end: what its outputs give together.</summary>
    /// <param name="watts">Null where it is not known of each output.</param>
    /// <returns>A sample where one came of it.</returns>
    public BalanceSample? NoteFar(DateTimeOffset at, Power? watts)
    {
        _far = watts is { } known ? (at, known) : null;
        return Paired();
    }

    private BalanceSample? Paired()
    {
        if (_near is not { } near || _far is not { } far || (near.At - far.At).Duration() > segment.NearestMost)
        {
            return null;
        }

        (_near, _far) = (null, null);
        return new BalanceSample(near.At > far.At ? near.At : far.At, near.Watts, far.Watts, null, BalanceSample.Reference);
    }
}
