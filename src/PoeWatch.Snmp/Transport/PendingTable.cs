using System.Security.Cryptography;

namespace PoeWatch.Snmp.Transport;

/// <summary>What is known of an id that no waiting request has.</summary>
internal enum PastRequest
{
    Unknown = 0,
    Answered,
    Unanswered,
}

/// <summary>Whether a datagram may be read for a request.</summary>
internal enum Claim
{
    /// <summary>No request waits under that id.</summary>
    None = 0,

    /// <summary>Yes, and nobody else may until the claim ends.</summary>
    Granted,

    /// <summary>Wrong version or sender.</summary>
    Foreign,

    /// <summary>Another datagram or the deadline is being dealt with.</summary>
    Busy,
}

/// <summary>
/// The requests in flight, by id, with their deadlines; and a short memory of finished ones, to tell late and duplicate
/// answers from foreign ones. Bounded. Thread-safe.
/// </summary>
internal sealed class PendingTable(int capacity)
{
    private const int Remembered = 4096;

    private readonly Lock _lock = new();
    private readonly Dictionary<int, PendingRequest> _byId = [];
    private readonly TimerWheel _wheel = new();
    private readonly (int Id, PastRequest How)[] _past = new (int, PastRequest)[Remembered];

    // Ids are guessed at by whoever forges answers: their start is not for a seeded generator.
    private int _lastId = RandomNumberGenerator.GetInt32(int.MaxValue);
    private bool _closed;
    private int _count;

    /// <summary>How many wait.</summary>
    public int Count => Volatile.Read(ref _count);

    /// <summary>
    /// Gives the request a positive id that no other waiting one has, and files it, claimed until it is encoded. Else says why not.
    /// </summary>
    public SnmpOutcome TryAdd(PendingRequest request, long dueTick)
    {
        lock (_lock)
        {
            if (_closed)
            {
                return SnmpOutcome.Closed;
            }

            if (request.IsCancelled)
            {
                return SnmpOutcome.Cancelled;
            }

            if (_byId.Count >= capacity)
            {
                return SnmpOutcome.TooManyPending;
            }

            do
            {
                _lastId = _lastId == int.MaxValue ? 1 : _lastId + 1;
            }
            while (!_byId.TryAdd(_lastId, request));

            request.Id = _lastId;
            request.IsClaimed = true;
            _wheel.Add(request, dueTick);
            _count = _byId.Count;
            return SnmpOutcome.Unknown;
        }
    }

    /// <summary>Finds the request that a datagram with this id, version and sender may be read for.</summary>
    public Claim TryClaim(int id, int version, ReadOnlySpan<byte> sender, out PendingRequest? request)
    {
        lock (_lock)
        {
            if (!_byId.TryGetValue(id, out request))
            {
                return Claim.None;
            }

            if (request.Version != version || !request.Target.IsResponder(sender))
            {
                return Claim.Foreign;
            }

            if (request.IsClaimed)
            {
                return Claim.Busy;
            }

            request.IsClaimed = true;
            return Claim.Granted;
        }
    }

    /// <summary>Ends a claim on a request that goes on waiting. False where the caller gave it up meanwhile: then it is taken out.</summary>
    public bool Release(PendingRequest request)
    {
        lock (_lock)
        {
            if (request.IsCancelled)
            {
                TakeOut(request, PastRequest.Unanswered);
                return false;
            }

            request.IsClaimed = false;
            return true;
        }
    }

    /// <summary>Ends a claim by taking the request out: whoever had the claim finishes it.</summary>
    public void Settle(PendingRequest request, bool answered)
    {
        lock (_lock)
        {
            TakeOut(request, answered ? PastRequest.Answered : PastRequest.Unanswered);
        }
    }

    /// <summary>
    /// The caller gives up. True where that takes the request out and the caller is to finish it; else whoever has the claim will see it.
    /// </summary>
    public bool TryCancel(PendingRequest request)
    {
        lock (_lock)
        {
            request.IsCancelled = true;
            if (request.IsClaimed || !IsWaiting(request))
            {
                return false;
            }

            TakeOut(request, PastRequest.Unanswered);
            return true;
        }
    }

    /// <summary>Marks what a request ran into, if it still waits for this receiver.</summary>
    public bool TryMark(int id, ReadOnlySpan<byte> receiver, SnmpOutcome trouble)
    {
        lock (_lock)
        {
            bool found = _byId.TryGetValue(id, out PendingRequest? request) && request.Target.Address.SequenceEqual(receiver);
            if (found)
            {
                request!.Trouble = trouble;
            }

            return found;
        }
    }

    public PastRequest Recall(int id)
    {
        lock (_lock)
        {
            (int pastId, PastRequest how) = _past[(id & int.MaxValue) % Remembered];
            return pastId == id ? how : PastRequest.Unknown;
        }
    }

    /// <summary>Gives a claimed request whose deadline has passed another one.</summary>
    public void Rearm(PendingRequest request, long dueTick)
    {
        lock (_lock)
        {
            _wheel.Remove(request);
            _wheel.Add(request, dueTick);
        }
    }

    /// <summary>Claims the requests whose deadline has passed and hands them out; they stay in the table.</summary>
    public void ClaimExpired(long nowTick, List<PendingRequest> expired)
    {
        lock (_lock)
        {
            _wheel.Advance(nowTick, expired);
            for (int i = expired.Count - 1; i >= 0; i--)
            {
                PendingRequest request = expired[i];
                if (request.IsClaimed)
                {
                    // Its answer is being read at this moment.
                    _wheel.Add(request, nowTick + 1);
                    expired.RemoveAt(i);
                }

                request.IsClaimed = true;
            }
        }
    }

    /// <summary>The tick at which the deadlines are to be looked at next; null where nothing waits.</summary>
    public long? NextDue()
    {
        lock (_lock)
        {
            return _wheel.NextDue();
        }
    }

    /// <summary>Takes nothing more and hands out everything that waits and that nobody is at work on.</summary>
    public PendingRequest[] Close()
    {
        lock (_lock)
        {
            _closed = true;
            PendingRequest[] waiting = [.. _byId.Values.Where(request => !request.IsClaimed)];
            foreach (PendingRequest request in _byId.Values)
            {
                request.IsCancelled = true;
            }

            foreach (PendingRequest request in waiting)
            {
                TakeOut(request, PastRequest.Unanswered);
            }

            return waiting;
        }
    }

    private bool IsWaiting(PendingRequest request) => ReferenceEquals(_byId.GetValueOrDefault(request.Id), request);

    private void TakeOut(PendingRequest request, PastRequest how)
    {
        _byId.Remove(request.Id);
        _wheel.Remove(request);
        _past[request.Id % Remembered] = (request.Id, how);
        request.IsClaimed = false;
        _count = _byId.Count;
    }
}
