using PoeWatch.Domain.Readings;
using PoeWatch.Monitoring.Abstractions;

namespace PoeWatch.Benchmarks.ManySwitches;

/// <summary>What a round of many polls came to.</summary>
/// <param name="Answers">Readings with all that was asked for.</param>
/// <param name="Others">Readings of switches that should answer and were not whole.</param>
/// <param name="Addresses">Switches that answered, each under an address of its own.</param>
/// <param name="MissedPeriods">Periods without an answer of a switch that should answer.</param>
/// <param name="LongestGap">Longest time between two answers of one switch.</param>
/// <param name="Silences">Readings of the switches that never answer.</param>
/// <param name="WrongPorts">Answers that did not have a reading of each port.</param>
/// <param name="Unmeasured">Answers in which some port that delivers had no measured watts.</param>
internal sealed record PollTally(long Answers, long Others, int Addresses, long MissedPeriods, TimeSpan LongestGap, long Silences, long WrongPorts, long Unmeasured);

/// <summary>Counts readings switch by switch on their way into the service. Thread safe; allocates nothing a reading.</summary>
internal sealed class PollBook(IReadingSink next, IReadOnlyDictionary<string, int> places, Func<int, bool> isSilent, TimeSpan period, TimeProvider time) : IReadingSink
{
    private readonly Lock _gate = new();
    private readonly long _start = time.GetTimestamp();
    private readonly TimeSpan?[] _last = new TimeSpan?[places.Count];
    private long _answers;
    private long _others;
    private long _missed;
    private long _silences;
    private long _wrongPorts;
    private long _unmeasured;
    private TimeSpan _longest;

    public void Accept(SwitchReading reading)
    {
        next.Accept(reading);
        var place = places[reading.PseId];
        TimeSpan now = time.GetElapsedTime(_start);
        lock (_gate)
        {
            if (isSilent(place))
            {
                _silences++;
            }
            else if (reading.Outcome != PollOutcome.Answered)
            {
                _others++;
            }
            else
            {
                _answers++;
                _wrongPorts += reading.Ports.Length == ManySwitchesCommand.Ports ? 0 : 1;
                _unmeasured += IsMeasured(reading) ? 0 : 1;
                Note(_last[place] ?? TimeSpan.Zero, now);
                _last[place] = now;
            }
        }
    }

    /// <summary>How it stands now; a switch whose next answer is overdue counts as missed already.</summary>
    public PollTally Tally()
    {
        lock (_gate)
        {
            TimeSpan now = time.GetElapsedTime(_start);
            var overdue = _last.Where((_, place) => !isSilent(place)).Sum(last => Missed(now - (last ?? TimeSpan.Zero)));
            return new PollTally(_answers, _others, _last.Count(last => last is not null), _missed + overdue, _longest, _silences, _wrongPorts, _unmeasured);
        }
    }

    // A slot lies once in each period and an answer comes some time after it: only from one and a half periods on one has surely been missed.
    private long Missed(TimeSpan gap) => Math.Max(0, (long)Math.Floor((gap / period) - 0.5));

    private void Note(TimeSpan before, TimeSpan now)
    {
        _missed += Missed(now - before);
        _longest = now - before > _longest ? now - before : _longest;
    }

    private static bool IsMeasured(SwitchReading reading)
    {
        foreach (PortReading port in reading.Ports)
        {
            if (port.Provenance is not (Provenance.Measured or Provenance.Off))
            {
                return false;
            }
        }

        return true;
    }
}
