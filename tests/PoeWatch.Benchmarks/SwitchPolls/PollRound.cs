using PoeWatch.Snmp;

namespace PoeWatch.Benchmarks.SwitchPolls;

/// <summary>What a round of polls cost.</summary>
internal sealed record PollFigures(
    int Polls, int Fails, double ValuesPerPoll, double RequestsPerPoll, long Sum, TimeSpan Wall, TimeSpan Processor, double AllocatedPerPoll);

/// <summary>Polls switch after switch in turn, a bounded number at once, as fast as it goes or at a pace of 10 ms ticks.</summary>
internal sealed class PollRound(BulkWalker walker, SnmpTarget[] targets, WalkRequest request, Oid summed, int valuesExpected)
{
    private readonly WalkState[] _states = [.. targets.Select(_ => new WalkState())];
    private readonly bool[] _busy = new bool[targets.Length];
    private readonly Lock _lock = new();
    private int _next;
    private int _started;
    private int _inFlight;
    private int _done;
    private int _fails;
    private long _values;
    private long _requests;
    private long _sum;
    private int _wanted;
    private int _window;
    private bool _isPaced;
    private TaskCompletionSource _end = new();

    public async Task<PollFigures> PollAsync(int polls, int window, int rate)
    {
        (_started, _done, _fails, _values, _requests, _sum) = (0, 0, 0, 0, 0, 0);
        (_wanted, _window, _isPaced) = (polls, window, rate > 0);
        _end = new TaskCompletionSource(TaskCreationOptions.RunContinuationsAsynchronously);
        TimeProvider time = TimeProvider.System;
        TimeSpan processor = Environment.CpuUsage.TotalTime;
        long allocated = GC.GetTotalAllocatedBytes(precise: true);
        long start = time.GetTimestamp();
        if (_isPaced)
        {
            Thread pacer = new(() => Pace(rate)) { IsBackground = true, Name = "pacer" };
            pacer.Start();
        }
        else
        {
            StartDue(polls);
        }

        await _end.Task;
        TimeSpan wall = time.GetElapsedTime(start);
        processor = Environment.CpuUsage.TotalTime - processor;
        double allocatedPerPoll = (GC.GetTotalAllocatedBytes(precise: true) - allocated) / (double)polls;
        return new PollFigures(polls, _fails, _values / (double)polls, _requests / (double)polls, _sum, wall, processor, allocatedPerPoll);
    }

    /// <summary>A thread that waits, as a scheduler's would: every 10 ms it starts what is due.</summary>
    private void Pace(int rate)
    {
        using ManualResetEventSlim tick = new(initialState: false, spinCount: 0);
        long start = TimeProvider.System.GetTimestamp();
        while (!_end.Task.IsCompleted)
        {
            tick.Wait(10);
            StartDue((int)Math.Min(_wanted, TimeProvider.System.GetElapsedTime(start).TotalSeconds * rate));
        }
    }

    private void StartDue(int due)
    {
        while (TryTakeNext(due, out int index))
        {
            PollOne(index);
        }
    }

    private bool TryTakeNext(int due, out int index)
    {
        lock (_lock)
        {
            for (int tries = 0; tries < targets.Length && _inFlight < _window && _started < due; tries++)
            {
                index = _next;
                _next = (_next + 1) % targets.Length;
                if (!_busy[index])
                {
                    _busy[index] = true;
                    _started++;
                    _inFlight++;
                    return true;
                }
            }
        }

        index = -1;
        return false;
    }

    private async void PollOne(int index)
    {
        using (WalkResult walk = await walker.WalkOnReceiveThreadAsync(targets[index], request, _states[index]).ConfigureAwait(false))
        {
            Count(walk);
        }

        bool isLast;
        lock (_lock)
        {
            _busy[index] = false;
            _inFlight--;
            isLast = ++_done == _wanted;
        }

        if (isLast)
        {
            _end.SetResult();
        }
        else if (!_isPaced)
        {
            StartDue(_wanted);
        }
    }

    /// <summary>Every value is looked at, as a reader of draws would, and the watts are summed.</summary>
    private void Count(WalkResult walk)
    {
        int values = 0;
        long sum = 0;
        for (int i = 0; i < request.Instances.Count; i++)
        {
            values += walk.Instances[i].Value.TryGetUInt64(out _) ? 1 : 0;
        }

        Span<uint> index = stackalloc uint[2];
        for (int c = 0; c < request.Columns.Count; c++)
        {
            WalkColumn column = walk.Columns[c];
            bool isSummed = column.Column == summed;
            for (WalkColumnReader rows = column.Read(); rows.Next();)
            {
                if (rows.TryGetIndex(index, out _) && rows.TryGetInt64(out long number))
                {
                    values++;
                    sum += isSummed ? number : 0;
                }
            }
        }

        lock (_lock)
        {
            _values += values;
            _requests += walk.Requests;
            _sum += sum;
            _fails += walk.IsComplete && values == valuesExpected ? 0 : 1;
        }
    }
}
