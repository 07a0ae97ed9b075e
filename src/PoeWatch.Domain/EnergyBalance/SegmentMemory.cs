using System.Collections.Immutable;
using PoeWatch.Domain.Quantities;

namespace PoeWatch.Domain.EnergyBalance;

/// <summary>
/// What is remembered of one metered segment, bounded: of each of the last 35 days (UTC) the mean of what both ends metered at each of at most 128 different loads (about 5 kB a
/// day at most). From the last seven whole days the loop is estimated once a day, and once more from the oldest seven, to see whether it grew. For one thread.
/// </summary>
public sealed class SegmentMemory(MeteredSegment segment)
{
    public const int DaysKept = 35;

    /// <summary>Whole days that an estimate rests on at most.</summary>
    public const int WindowDays = 7;

    /// <summary>Whole days that are compared with the earlier ones where they are enough: what grew just now must not wait for a week.</summary>
    public const int ShiftDays = 3;

    internal const int LevelsOfDayMost = 128;

    // The finest step that loads are told apart by; the estimator tells them apart by the meters' own step where that is coarser.
    private const double FinestStep = 0.1;

    private readonly Queue<DayLevels> _days = new();
    private SteadyStretches _stretches = new(BandOf(MeterTrust.Usual.Step), segment.LongestGap);
    private Power? _nearStep;
    private Power? _farStep;
    private DayLevels? _today;
    private SegmentBalance? _newest;
    private int _reckonedOn = int.MinValue;

    public MeteredSegment Segment { get; private set; } = segment;

    /// <summary>Puts the readings of both ends together.</summary>
    public EndPairing Ends { get; private set; } = new(segment);

    /// <summary>Watts in which the coarser of both meters tells; a finer one than 0.1 W counts as that.</summary>
    public Power Step { get; private set; } = MeterTrust.Usual.Step;

    /// <summary>Goes on with the figures of another design; the segment still lies between the same ends.</summary>
    public void Follow(MeteredSegment now)
    {
        ArgumentNullException.ThrowIfNull(now);
        (Segment, Ends) = (now, new EndPairing(now));
        Begin(Step);
        (_newest, _reckonedOn) = (null, int.MinValue);
    }

    /// <summary>Takes in which steps the meters tell; null where one does not say.</summary>
    public void NoteSteps(Power? near, Power? far)
    {
        (_nearStep, _farStep) = (near ?? _nearStep, far ?? _farStep);
        var coarser = Power.Max(MeterTrust.Usual.Step, Power.Max(_nearStep ?? Power.Zero, _farStep ?? Power.Zero));
        if (coarser != Step)
        {
            Begin(coarser);
        }
    }

    /// <summary>Takes a sample, in the order of time; one of a day that is over already is passed over.</summary>
    public void Note(in BalanceSample sample)
    {
        var day = DayOf(sample.At);
        if (_today?.Day > day)
        {
            return;
        }

        if (_today?.Day != day)
        {
            CloseToday();
            _today = new DayLevels(day);
        }

        if (_stretches.Add(sample) is { } point)
        {
            _today!.Add(point);
        }
    }

    /// <summary>What is known of the segment at a moment: reckoned anew at the first call of a day.</summary>
    public SegmentBalance At(DateTimeOffset now)
    {
        var today = DayOf(now);
        if (_newest is not null && today == _reckonedOn)
        {
            return _newest;
        }

        if (_today is { } open && open.Day < today)
        {
            CloseToday();
        }

        _reckonedOn = today;
        return _newest = Reckon(today, now);
    }

    /// <summary>Takes what another memory of the same segment knows of the time before this one began.</summary>
    public void Adopt(SegmentMemory older)
    {
        ArgumentNullException.ThrowIfNull(older);
        older.CloseToday();
        EndStretch();
        List<DayLevels> own = [.. _days.Concat(_today is { } today ? [today] : [])];
        _days.Clear();
        foreach (var day in older._days)
        {
            if (own.Find(d => d.Day == day.Day) is { } same)
            {
                same.Add(day);
            }
            else if (own.Count == 0 || day.Day < own[0].Day)
            {
                Keep(day);
            }
        }

        foreach (var day in own.Where(d => d != _today))
        {
            Keep(day);
        }

        (_newest, _reckonedOn) = (null, int.MinValue);
    }

    private void Begin(Power step)
    {
        EndStretch();
        (Step, _stretches) = (step, new SteadyStretches(BandOf(step), Segment.LongestGap));
    }

    private static Power BandOf(Power step) => Power.FromWatts(Math.Max(0.2, 2.5 * step.Watts));

    private static int DayOf(DateTimeOffset at) => (int)(at.UtcTicks / TimeSpan.TicksPerDay);

    private SegmentBalance Reckon(int today, DateTimeOffset now)
    {
        List<DayLevels> window = [.. _days.Where(d => d.Day >= today - WindowDays && d.Day < today)];
        var oldest = _days.TryPeek(out var first) ? first.Day : today;
        List<DayLevels> before = oldest + WindowDays <= today - WindowDays ? [.. _days.Where(d => d.Day < oldest + WindowDays)] : [];
        return new SegmentBalance(Segment, now, window.Count, Estimate(window), Estimate(before), Step)
        {
            Shift = before.Count == 0 ? null : Shift(before, [.. window.Where(d => d.Day >= today - ShiftDays)]) ?? Shift(before, window),
            EarlierFrom = before.Count == 0 ? null : DateOnly.FromDayNumber(before[0].Day),
            EarlierTo = before.Count == 0 ? null : DateOnly.FromDayNumber(before[^1].Day),
        };
    }

    private LoopEstimate? Estimate(List<DayLevels> days) => days.Count == 0
        ? null
        : LoopEstimator.Estimate(Points(days), FarEndMeter.OutputWatts, Segment.AtPse, Trust);

    private LoopShift? Shift(List<DayLevels> before, List<DayLevels> now) => LoopEstimator.Shift(Points(before), Points(now), Segment.AtPse, Trust);

    private MeterTrust Trust => MeterTrust.Usual with { Step = Step };

    private static ImmutableArray<BalanceSample> Points(List<DayLevels> days) => [.. days.SelectMany(d => d.Points)];

    private void EndStretch()
    {
        if (_stretches.End() is { } point)
        {
            _today?.Add(point);
        }
    }

    private void CloseToday()
    {
        EndStretch();
        if (_today is { } day)
        {
            Keep(day);
            _today = null;
        }
    }

    private void Keep(DayLevels day)
    {
        if (day.IsEmpty)
        {
            return;
        }

        _days.Enqueue(day);
        while (_days.Peek().Day <= day.Day - DaysKept)
        {
            _days.Dequeue();
        }
    }

    /// <summary>One day's means by load.</summary>
    private sealed class DayLevels(int day)
    {
        private readonly Dictionary<int, (double Near, double Far, int Count)> _byLoad = [];

        public int Day => day;

        public bool IsEmpty => _byLoad.Count == 0;

        public IEnumerable<BalanceSample> Points => _byLoad.Values.Select(load => new BalanceSample(
            new DateTimeOffset(day * TimeSpan.TicksPerDay, TimeSpan.Zero),
            Power.FromWatts(load.Near / load.Count),
            Power.FromWatts(load.Far / load.Count),
            null,
            BalanceSample.Reference));

        public void Add(in BalanceSample point)
        {
            if (point.WattsAtFarEnd is { } far)
            {
                Add((int)Math.Round(point.AtPse.Watts / FinestStep), (point.AtPse.Watts, far.Watts, 1));
            }
        }

        public void Add(DayLevels other)
        {
            foreach (var (load, sums) in other._byLoad)
            {
                Add(load, sums);
            }
        }

        private void Add(int load, (double Near, double Far, int Count) more)
        {
            if (_byLoad.TryGetValue(load, out var sums))
            {
                _byLoad[load] = (sums.Near + more.Near, sums.Far + more.Far, sums.Count + more.Count);
            }
            else if (_byLoad.Count < LevelsOfDayMost)
            {
                _byLoad[load] = more;
            }
        }
    }
}
