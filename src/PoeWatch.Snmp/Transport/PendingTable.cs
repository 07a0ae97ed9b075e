using System.Security.Cryptography;

namespace PoeWatch.Snmp.Transport;

/// <summary>What is known of an id that no waiting request has.</summary>
internal enum PastRequest
{
    Unknown = 0,
    Answered,
    Unanswered,
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

    /// <summary>Gives the request a positive id that no other waiting one has, and files it. False when full or closed.</summary>
    public bool TryAdd(PendingRequest request, long dueTick)
    {
        lock (_lock)
        {
            if (_closed || _byId.Count >= capacity)
            {
                return false;
            }

            do
            {
                _lastId = _lastId == int.MaxValue ? 1 : _lastId + 1;
            }
            while (_byId.ContainsKey(_lastId));

            request.Id = _lastId;
            _byId.Add(request.Id, request);
            _wheel.Add(request, dueTick);
            return true;
        }
    }

    public PendingRequest? Find(int id)
    {
        lock (_lock)
        {
            return _byId.GetValueOrDefault(id);
        }
    }

    /// <summary>Takes a request out. True for exactly one caller: that one finishes it.</summary>
    public bool TryTake(PendingRequest request, bool answered)
    {
        lock (_lock)
        {
            if (!IsWaiting(request))
            {
                return false;
            }

            _byId.Remove(request.Id);
            _wheel.Remove(request);
            _past[request.Id % Remembered] = (request.Id, answered ? PastRequest.Answered : PastRequest.Unanswered);
            return true;
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

    /// <summary>Gives a request whose deadline has passed another one, if it still waits.</summary>
    public bool TryRearm(PendingRequest request, long dueTick)
    {
        lock (_lock)
        {
            if (!IsWaiting(request))
            {
                return false;
            }

            _wheel.Remove(request);
            _wheel.Add(request, dueTick);
            return true;
        }
    }

    /// <summary>Hands out the requests whose deadline has passed; they stay in the table. Says whether any wait still.</summary>
    public bool CollectExpired(long nowTick, List<PendingRequest> expired)
    {
        lock (_lock)
        {
            _wheel.Advance(nowTick, expired);
            return _byId.Count > 0;
        }
    }

    public bool IsEmpty
    {
        get
        {
            lock (_lock)
            {
                return _byId.Count == 0;
            }
        }
    }

    /// <summary>Takes nothing more and hands out everything that waits.</summary>
    public PendingRequest[] Close()
    {
        lock (_lock)
        {
            _closed = true;
            PendingRequest[] waiting = [.. _byId.Values];
            foreach (PendingRequest request in waiting)
            {
                _wheel.Remove(request);
            }

            _byId.Clear();
            return waiting;
        }
    }

    private bool IsWaiting(PendingRequest request) => ReferenceEquals(_byId.GetValueOrDefault(request.Id), request);
}
