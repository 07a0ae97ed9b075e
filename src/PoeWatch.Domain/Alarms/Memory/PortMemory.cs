using PoeWatch.Domain.Readings.Changes;

namespace PoeWatch.Domain.Alarms.Memory;

/// <summary>
/// What the rules remember of one port, bounded (about 2 kB): fault counts of the last hour, when it went on and off, the quarter-hours of today and yesterday and
/// a note of each of the last 60 days. For one thread.
/// </summary>
public sealed class PortMemory
{
    public const int DaysKept = 60;
    private const int SwitchesKept = 16;
    private const int QuartersOfDay = 96;
    private static readonly TimeSpan s_hour = TimeSpan.FromHours(1);

    // Dark for so long is an outage and no flapping: common practice, no source.
    private static readonly TimeSpan s_outage = TimeSpan.FromMinutes(5);

    private static readonly TimeSpan s_quarter = TimeSpan.FromMinutes(15);

    // A quarter-hour counts where two thirds of it are covered: common practice, no source.
    private const double CoveredLeast = 600;

    private readonly Queue<DayNote> _days = new();
    private readonly Queue<float> _recent = new();
    private readonly List<float> _today = [];

    // Null until the first: most ports never have any, and one of these is kept of each port of the site.
    private Queue<(TimeSpan At, PortEvents Events)>? _events;
    private Queue<TimeSpan>? _switches;
    private bool? _isOn;
    private TimeSpan? _onAt;
    private TimeSpan _changedAt;
    private TimeSpan? _backAt;
    private int _offQuartersToday;
    private double _offSeconds;
    private long _quarter = long.MinValue;
    private long _firstQuarter = long.MinValue;
    private double _wattSeconds;
    private double _seconds;
    private double _demand = double.NaN;
    private DayDemand _demandOfDay;
    private (DateTimeOffset At, double Watts)? _last;
    private (int DaysClosed, DrawTrend? Trend)? _trend;

    /// <summary>Whole and partial days before today, oldest first.</summary>
    public IReadOnlyCollection<DayNote> Days => _days;

    /// <summary>Rises with each day that is closed: a trend need not be worked out more often.</summary>
    public int DaysClosed { get; private set; }

    /// <summary>Of the base draw, worked out once a day; null where too few days are known.</summary>
    public DrawTrend? Trend
    {
        get
        {
            if (_trend?.DaysClosed != DaysClosed)
            {
                _trend = (DaysClosed, DrawTrend.Of(_days));
            }

            return _trend!.Value.Trend;
        }
    }

    /// <summary>The newest quarter-hour means, at most four, where they follow each other without a gap; oldest first.</summary>
    public IReadOnlyCollection<float> LastHour => _recent;

    /// <summary>Largest demand that the design had in the quarter-hour under way; NaN where none is designed.</summary>
    public double Demand => _demand;

    /// <summary>True where it was refused power and has not been fed since: a switch counts that once, however long it lasts.</summary>
    public bool IsRefused { get; private set; }

    /// <summary>Takes counts that rose since the last look.</summary>
    /// <param name="running">The running clock.</param>
    public void Note(PortEvents events, TimeSpan running)
    {
        IsRefused |= events.PowerDenied > 0;
        (_events ??= new()).Enqueue((running, _backAt is { } back && running - events.Over < back ? OnlyDenied(events) : events));
    }

    /// <summary>Takes whether the port delivers; null where nothing is known: then it did not go on or off.</summary>
    public void NoteState(bool? isOn, TimeSpan running)
    {
        if (isOn is { } now)
        {
            IsRefused &= !now;
            if (_isOn is { } before && before != now)
            {
                _onAt = now ? running : null;
                _switches ??= new();
                _switches.Enqueue(running);
                if (_switches.Count > SwitchesKept)
                {
                    _switches.Dequeue();
                }

                if (now && running - _changedAt >= s_outage)
                {
                    ForgetOutage(running);
                }

                _changedAt = running;
            }

            _isOn = now;
        }
    }

    // What was counted while it was dark for long belongs to that outage, which had its own alarm: it must not raise another one once the port is back.
    private void ForgetOutage(TimeSpan running)
    {
        _backAt = running;
        for (var left = _events?.Count ?? 0; left > 0; left--)
        {
            var (at, events) = _events!.Dequeue();
            _events.Enqueue((at, at >= _changedAt ? OnlyDenied(events) : events));
        }
    }

    private static PortEvents OnlyDenied(PortEvents events) => events with { Overload = 0, Short = 0, MpsAbsent = 0, InvalidSignature = 0 };

    /// <summary>Forgets on and off at a restart of the switch: its ports go off and on with it, once, for one reason.</summary>
    public void NoteRestart()
    {
        _switches = null;
        (_isOn, _onAt) = (null, null);
    }

    /// <summary>How long it delivers; null where nobody saw it go on.</summary>
    public TimeSpan? OnFor(TimeSpan running) => running - _onAt;

    /// <summary>How often the port went on or off in the last hour.</summary>
    public int SwitchesInHour(TimeSpan running) => _switches?.Count(at => running - at < s_hour) ?? 0;

    /// <summary>Sums of the counts of the last hour.</summary>
    public (long Overload, long Short, long Denied, long MpsAbsent) CountsInHour(TimeSpan running)
    {
        if (_events is null)
        {
            return default;
        }

        while (_events.TryPeek(out var oldest) && running - oldest.At >= s_hour)
        {
            _events.Dequeue();
        }

        var (overload, shorts, denied, absent) = (0L, 0L, 0L, 0L);
        foreach (var (_, e) in _events)
        {
            (overload, shorts, denied, absent) = (overload + e.Overload, shorts + e.Short, denied + e.PowerDenied, absent + e.MpsAbsent);
        }

        return (overload, shorts, denied, absent);
    }

    /// <summary>Takes a draw; it holds until the next one, at most <paramref name="holdsFor"/>.</summary>
    /// <param name="watts">At the PSE; null where it is no draw or unknown.</param>
    /// <param name="demand">Designed demand of now, or NaN.</param>
    /// <param name="isOff">True where it feeds nothing: that is known, but no level of what hangs there.</param>
    public void NoteDraw(DateTimeOffset at, double? watts, double demand, TimeSpan holdsFor, bool isOff = false)
    {
        if (_last is { } last && at > last.At)
        {
            Cover(last.At, at - last.At <= holdsFor ? at : last.At + holdsFor, last.Watts);
        }

        _last = isOff ? (at, double.NaN) : watts is { } w ? (at, w) : null;
        Open(QuarterOf(at));
        _demand = Larger(_demand, demand);
    }

    /// <summary>Takes a quarter-hour that is over, out of the history; in order of time and before any draw.</summary>
    /// <param name="meanWatts">While it fed something.</param>
    /// <param name="coveredSeconds">For which that is known.</param>
    /// <param name="demand">Largest designed demand in it, or NaN.</param>
    /// <param name="offSeconds">For which it is known to have fed nothing.</param>
    public void Recall(DateTimeOffset start, double meanWatts, double coveredSeconds, double demand = double.NaN, double offSeconds = 0)
    {
        Open(QuarterOf(start));
        (_wattSeconds, _seconds, _offSeconds, _demand) = (meanWatts * coveredSeconds, coveredSeconds, offSeconds, demand);
    }

    /// <summary>Takes what another memory of the same port knows of the time before this one began, and is done with that other one.</summary>
    internal void Adopt(PortMemory older)
    {
        if (older._quarter == long.MinValue)
        {
            return;
        }

        var isNew = _firstQuarter == long.MinValue;
        older.Open(isNew ? older._quarter + 1 : Math.Max(older._quarter + 1, _firstQuarter));
        if (isNew)
        {
            (_firstQuarter, _quarter) = (older._quarter, older._quarter);
        }

        // The day on which this memory began was begun by the other one.
        var shared = older._quarter / QuartersOfDay;
        if (_quarter / QuartersOfDay == shared)
        {
            _today.InsertRange(0, older._today);
            _demandOfDay = _demandOfDay.With(older._demandOfDay);
            _offQuartersToday += older._offQuartersToday;
        }
        else
        {
            older.CloseDay((int)shared);
        }

        DayNote[] own = [.. _days];
        _days.Clear();
        foreach (var day in older._days.Concat(own))
        {
            Keep(day);
        }

        DaysClosed++;
    }

    private static long QuarterOf(DateTimeOffset at) => at.UtcTicks / s_quarter.Ticks;

    private static double Larger(double a, double b) => double.IsNaN(a) ? b : double.IsNaN(b) ? a : Math.Max(a, b);

    private void Cover(DateTimeOffset from, DateTimeOffset to, double watts)
    {
        while (from < to)
        {
            var quarter = QuarterOf(from);
            Open(quarter);
            var end = new DateTimeOffset((quarter + 1) * s_quarter.Ticks, TimeSpan.Zero);
            var until = end < to ? end : to;
            var seconds = (until - from).TotalSeconds;
            if (double.IsNaN(watts))
            {
                _offSeconds += seconds;
            }
            else
            {
                _wattSeconds += watts * seconds;
                _seconds += seconds;
            }

            from = until;
        }
    }

    private void Open(long quarter)
    {
        if (quarter == _quarter)
        {
            return;
        }

        // A clock that was stepped back begins the quarter-hour anew; what was closed stays closed.
        if (_quarter != long.MinValue && quarter > _quarter)
        {
            Close(quarter);
        }

        _firstQuarter = _firstQuarter == long.MinValue ? quarter : _firstQuarter;
        (_quarter, _wattSeconds, _seconds, _offSeconds, _demand) = (quarter, 0, 0, 0, double.NaN);
    }

    private void Close(long next)
    {
        if (_seconds >= CoveredLeast)
        {
            var mean = (float)(_wattSeconds / _seconds);
            if (_today.Count == _today.Capacity && _today.Count < QuartersOfDay)
            {
                // As the day goes on, and no further than a day goes.
                _today.Capacity = Math.Min(QuartersOfDay, Math.Max(16, 2 * _today.Count));
            }

            _today.Add(mean);
            _recent.Enqueue(mean);
            if (_recent.Count > 4)
            {
                _recent.Dequeue();
            }
        }
        else
        {
            _offQuartersToday += _seconds + _offSeconds >= CoveredLeast ? 1 : 0;
            _recent.Clear();
        }

        if (next > _quarter + 1)
        {
            _recent.Clear();
        }

        _demandOfDay = _demandOfDay.With(_demand);
        if (next / QuartersOfDay != _quarter / QuartersOfDay)
        {
            CloseDay((int)(_quarter / QuartersOfDay));
        }
    }

    /// <summary>Two notes of one day, as a restart after midnight leaves them, become one.</summary>
    private void Keep(DayNote day)
    {
        if (_days.Count > 0 && _days.Last() is var last && last.Day == day.Day)
        {
            DayNote[] before = [.. _days];
            _days.Clear();
            foreach (var other in before[..^1])
            {
                _days.Enqueue(other);
            }

            day = last.With(day);
        }

        _days.Enqueue(day);
        if (_days.Count > DaysKept)
        {
            _days.Dequeue();
        }
    }

    private void CloseDay(int day)
    {
        if (_today.Count > 0)
        {
            _today.Sort();
            Keep(new DayNote(day, _today[0], _today[_today.Count / 4], _today[^1], (float)_demandOfDay.Most, Math.Min(_today.Count + _offQuartersToday, QuartersOfDay))
            {
                LeastDemandWatts = (float)_demandOfDay.Least,
                MeanDemandWatts = (float)_demandOfDay.Mean,
            });
        }

        _today.Clear();
        _offQuartersToday = 0;
        _demandOfDay = default;
        DaysClosed++;
    }
}
