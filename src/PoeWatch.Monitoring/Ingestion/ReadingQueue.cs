using PoeWatch.Domain.Readings;

namespace PoeWatch.Monitoring.Ingestion;

/// <summary>Finished polls that wait to be kept, oldest first, bounded: beyond the bound the oldest go and are counted. Thread safe.</summary>
public sealed class ReadingQueue(int max)
{
    private readonly Lock _gate = new();
    private readonly Queue<SwitchReading> _waiting = new();
    private long _dropped;

    public int Max => max;

    public int Count
    {
        get
        {
            lock (_gate)
            {
                return _waiting.Count;
            }
        }
    }

    /// <summary>Readings dropped since the start.</summary>
    public long Dropped
    {
        get
        {
            lock (_gate)
            {
                return _dropped;
            }
        }
    }

    /// <summary>Adds a reading; gives the older one that had to go for it, if any.</summary>
    public SwitchReading? Add(SwitchReading reading)
    {
        lock (_gate)
        {
            SwitchReading? gone = null;
            if (_waiting.Count >= max)
            {
                gone = _waiting.Dequeue();
                _dropped++;
            }

            _waiting.Enqueue(reading);
            return gone;
        }
    }

    /// <summary>The oldest readings, up to <paramref name="most"/>. They stay until <see cref="Remove"/>.</summary>
    public IReadOnlyList<SwitchReading> Peek(int most)
    {
        lock (_gate)
        {
            return _waiting.Take(most).ToArray();
        }
    }

    /// <summary>Takes out what was kept: everything up to that sequence.</summary>
    public void Remove(long throughSequence)
    {
        lock (_gate)
        {
            while (_waiting.TryPeek(out SwitchReading? oldest) && oldest.Sequence <= throughSequence)
            {
                _waiting.Dequeue();
            }
        }
    }
}
