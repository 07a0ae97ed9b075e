namespace PoeWatch.Snmp.Transport;

/// <summary>
/// Deadlines of requests in whole ticks: adding and removing cost the same however many wait. A hashed wheel of
/// <see cref="Slots"/> lists; a deadline further away than one turn stays in its slot for another turn. Not thread-safe.
/// </summary>
internal sealed class TimerWheel
{
    public const int Slots = 256;

    private readonly PendingRequest?[] _heads = new PendingRequest?[Slots];
    private long _now;

    /// <summary>Files a request that is in no slot. A tick that has passed already counts as the next one.</summary>
    public void Add(PendingRequest request, long dueTick)
    {
        request.DueTick = Math.Max(dueTick, _now + 1);
        ref PendingRequest? head = ref _heads[request.DueTick % Slots];
        request.WheelPrevious = null;
        request.WheelNext = head;
        request.IsOnWheel = true;
        head?.WheelPrevious = request;
        head = request;
    }

    /// <summary>Takes a request off; one that is not on the wheel stays as it is.</summary>
    public void Remove(PendingRequest request)
    {
        if (!request.IsOnWheel)
        {
            return;
        }

        if (request.WheelPrevious is null)
        {
            _heads[request.DueTick % Slots] = request.WheelNext;
        }
        else
        {
            request.WheelPrevious.WheelNext = request.WheelNext;
        }

        request.WheelNext?.WheelPrevious = request.WheelPrevious;
        request.WheelPrevious = null;
        request.WheelNext = null;
        request.IsOnWheel = false;
    }

    /// <summary>The earliest tick at which anything is due, within one turn of the wheel; beyond it, when to look again. Null where it is empty.</summary>
    public long? NextDue()
    {
        bool any = false;
        for (long tick = _now + 1; tick <= _now + Slots; tick++)
        {
            for (PendingRequest? request = _heads[tick % Slots]; request is not null; request = request.WheelNext)
            {
                any = true;
                if (request.DueTick == tick)
                {
                    return tick;
                }
            }
        }

        return any ? _now + Slots : null;
    }

    /// <summary>Moves to a tick and takes off everything due by then.</summary>
    public void Advance(long nowTick, List<PendingRequest> expired)
    {
        long steps = Math.Min(nowTick - _now, Slots);
        for (long tick = nowTick - steps + 1; tick <= nowTick; tick++)
        {
            PendingRequest? request = _heads[tick % Slots];
            while (request is not null)
            {
                PendingRequest? next = request.WheelNext;
                if (request.DueTick <= nowTick)
                {
                    Remove(request);
                    expired.Add(request);
                }

                request = next;
            }
        }

        _now = Math.Max(_now, nowTick);
    }
}
