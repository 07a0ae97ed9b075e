using System.Buffers;
using System.Net;
using System.Net.Sockets;
using PoeWatch.Snmp.Codec;

namespace PoeWatch.Snmp.Transport;

/// <summary>
/// Sends requests, waits for their answers and repeats them: one table, one timer, one socket per address family for all
/// agents. Thread-safe. A datagram that does not complete its request is counted and dropped; it never fails it.
/// </summary>
internal sealed class Dispatcher : IDatagramHandler, IDisposable
{
    /// <summary>Deadlines are kept to this precision.</summary>
    public static readonly TimeSpan Tick = TimeSpan.FromMilliseconds(20);

    private const int StackBuffer = 2048;

    private readonly TimeProvider _time;
    private readonly long _origin;
    private readonly PendingTable _pending;
    private readonly ITimer _timer;
    private readonly Lock _timerLock = new();
    private readonly Lock _portLock = new();
    private readonly UdpPort?[] _ports = new UdpPort?[2];
    private readonly List<PendingRequest> _expired = [];
    private bool _timerArmed;
    private volatile bool _closed;

    public Dispatcher(TimeProvider time, int maxPending, SnmpStatistics statistics)
    {
        _time = time;
        _origin = time.GetTimestamp();
        _pending = new PendingTable(maxPending);
        Statistics = statistics;
        _timer = time.CreateTimer(_ => OnTick(), null, Timeout.InfiniteTimeSpan, Timeout.InfiniteTimeSpan);
    }

    public SnmpStatistics Statistics { get; }

    private long NowTick => _time.GetElapsedTime(_origin).Ticks / Tick.Ticks;

    public Task<SnmpResult> SendAsync(PendingRequest request, CancellationToken cancellationToken)
    {
        if (cancellationToken.IsCancellationRequested)
        {
            return Task.FromResult(request.Failure(SnmpOutcome.Cancelled));
        }

        if (_closed)
        {
            return Task.FromResult(request.Failure(SnmpOutcome.Closed));
        }

        if (PortFor(request.Target) is null)
        {
            return Task.FromResult(request.Failure(SnmpOutcome.NoSocket));
        }

        if (!_pending.TryAdd(request, DueTick(request)))
        {
            Statistics.CountRefused();
            return Task.FromResult(request.Failure(_closed ? SnmpOutcome.Closed : SnmpOutcome.TooManyPending));
        }

        Transmit(request);
        ArmTimer();
        return cancellationToken.CanBeCanceled ? WaitAsync(request, cancellationToken) : request.Completion;
    }

    public void Dispose()
    {
        _closed = true;
        lock (_portLock)
        {
            foreach (UdpPort? port in _ports)
            {
                port?.Dispose();
            }
        }

        _timer.Dispose();
        foreach (PendingRequest request in _pending.Close())
        {
            request.Finish(request.Failure(SnmpOutcome.Closed));
        }
    }

    private async Task<SnmpResult> WaitAsync(PendingRequest request, CancellationToken cancellationToken)
    {
        using CancellationTokenRegistration registration = cancellationToken.UnsafeRegister(
            state => Complete((PendingRequest)state!, ((PendingRequest)state!).Failure(SnmpOutcome.Cancelled), answered: false), request);
        return await request.Completion.ConfigureAwait(false);
    }

    private bool Complete(PendingRequest request, SnmpResult result, bool answered)
    {
        bool mine = _pending.TryTake(request, answered);
        if (mine)
        {
            request.Finish(result);
        }

        return mine;
    }

    /// <summary>Each attempt waits twice as long as the one before it.</summary>
    private long DueTick(PendingRequest request)
    {
        TimeSpan wait = request.Target.Timeout * Math.Pow(2, request.Attempts);
        return NowTick + (long)Math.Ceiling(wait / Tick);
    }

    private void Transmit(PendingRequest request)
    {
        int size = request.EncodedSizeBound;
        byte[]? rented = size <= StackBuffer ? null : ArrayPool<byte>.Shared.Rent(size);
        Span<byte> buffer = rented is null ? stackalloc byte[StackBuffer] : rented;
        request.Attempts++;
        request.SentTimestamp = _time.GetTimestamp();
        Statistics.CountSent();
        if (PortFor(request.Target)?.TrySend(request.Encode(buffer), request.Target.SocketAddress) != true)
        {
            Statistics.CountUnreachable();
            request.Trouble = SnmpOutcome.Unreachable;
        }

        if (rented is not null)
        {
            ArrayPool<byte>.Shared.Return(rented, clearArray: true);
        }
    }

    public void OnDatagram(Span<byte> datagram, SocketAddress sender)
    {
        if (!MessageHead.TryRead(datagram, out MessageHead head))
        {
            Statistics.CountMalformed();
            return;
        }

        PendingRequest? request = _pending.Find(head.Id);
        if (request is null)
        {
            CountUnmatched(head.Id);
            return;
        }

        bool fromTarget = request.Target.SocketAddress.Equals(sender);
        if (head.Version != request.Version || (!fromTarget && !request.Target.AcceptsAnyResponder))
        {
            Statistics.CountForeign();
            return;
        }

        IPEndPoint responder = fromTarget ? request.Target.Endpoint : (IPEndPoint)request.Target.Endpoint.Create(sender);
        Arrival arrival = new(_time.GetElapsedTime(request.SentTimestamp), responder);
        switch (request.Read(datagram, arrival, out SnmpResult? result))
        {
            case Verdict.Complete when result is not null:
                if (Complete(request, result, answered: true))
                {
                    Statistics.CountAnswered();
                }
                else
                {
                    CountUnmatched(head.Id);
                }

                break;
            case Verdict.Untrusted:
                Statistics.CountUntrusted();
                request.Trouble = SnmpOutcome.Untrusted;
                break;
            default:
                Statistics.CountMalformed();
                request.Trouble = SnmpOutcome.Malformed;
                break;
        }
    }

    /// <summary>
    /// Only a mark on the request: ICMP is easily forged and a rebooting router sends it too, so it neither ends the
    /// request nor saves the retries. If no answer comes, it says why.
    /// </summary>
    public void OnRefused(ReadOnlySpan<byte> datagram, SocketAddress receiver)
    {
        if (MessageHead.TryRead(datagram, out MessageHead head)
            && _pending.Find(head.Id) is { } request
            && request.Target.SocketAddress.Equals(receiver))
        {
            Statistics.CountUnreachable();
            request.Trouble = SnmpOutcome.Unreachable;
        }
    }

    private void CountUnmatched(int id)
    {
        switch (_pending.Recall(id))
        {
            case PastRequest.Answered:
                Statistics.CountDuplicate();
                break;
            case PastRequest.Unanswered:
                Statistics.CountLate();
                break;
            default:
                Statistics.CountForeign();
                break;
        }
    }

    private void ArmTimer()
    {
        lock (_timerLock)
        {
            if (!_timerArmed && !_closed)
            {
                _timerArmed = true;
                _timer.Change(Tick, Timeout.InfiniteTimeSpan);
            }
        }
    }

    /// <summary>One call at a time: the timer is armed again only at the end.</summary>
    private void OnTick()
    {
        _expired.Clear();
        _pending.CollectExpired(NowTick, _expired);
        foreach (PendingRequest request in _expired)
        {
            try
            {
                Expire(request);
            }
            catch (Exception)
            {
                // The timer serves all requests: a bug over one of them ends that one, and neither the timer nor the others.
                Statistics.CountFault();
                Complete(request, request.Failure(SnmpOutcome.ClientFault), answered: false);
            }
        }

        lock (_timerLock)
        {
            _timerArmed = false;
        }

        if (!_pending.IsEmpty)
        {
            ArmTimer();
        }
    }

    private void Expire(PendingRequest request)
    {
        if (request.Attempts > request.Target.Retries)
        {
            if (Complete(request, request.Failure(request.Trouble), answered: false))
            {
                Statistics.CountTimeout();
            }
        }
        else if (_pending.TryRearm(request, DueTick(request)))
        {
            Statistics.CountRetry();
            Transmit(request);
        }
    }

    /// <summary>Opens the family's socket at first need. Null where this machine has none of that family.</summary>
    private UdpPort? PortFor(SnmpTarget target)
    {
        AddressFamily family = target.Endpoint.AddressFamily;
        ref UdpPort? port = ref _ports[family == AddressFamily.InterNetworkV6 ? 1 : 0];
        if (Volatile.Read(ref port) is { } open)
        {
            return open;
        }

        lock (_portLock)
        {
            if (port is null && !_closed)
            {
                try
                {
                    Volatile.Write(ref port, new UdpPort(family, this, Statistics));
                }
                catch (SocketException)
                {
                    return null;
                }
            }

            return port;
        }
    }
}
