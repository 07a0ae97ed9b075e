using PoeWatch.Domain.Evidence;
using PoeWatch.Domain.Readings;

namespace PoeWatch.Domain.Rollups;

/// <summary>A poll with the time [Start, End) in which its answers are taken to hold, for all its ports alike.</summary>
public readonly record struct HeldPoll(DateTimeOffset Start, DateTimeOffset End, SwitchReading Reading);

/// <summary>
/// Gives each poll of one element the time in which it holds, by the rule of <see cref="DrawSpans"/>, while the polls go by. A poll that brought nothing ends
/// the one before it. Not thread safe.
/// </summary>
public sealed class PollHolder(TimeSpan pollPeriod)
{
    private SwitchReading? _last;

    /// <summary>Takes the next poll and gives the one before it. A poll that is not later than its predecessor is left out.</summary>
    public HeldPoll? Add(SwitchReading reading)
    {
        if (_last is { } before && reading.At <= before.At)
        {
            return null;
        }

        var held = Held(reading.At);
        _last = reading;
        return held;
    }

    /// <summary>The last poll.</summary>
    public HeldPoll? End() => Held(null);

    private HeldPoll? Held(DateTimeOffset? next) =>
        _last is { } last ? new HeldPoll(last.At, DrawSpans.EndOf(last.At, next, pollPeriod), last) : null;
}
