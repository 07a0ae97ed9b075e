using System.Buffers;
using System.Net;
using System.Net.Sockets;
using System.Runtime.CompilerServices;
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
    private readonly IDatagramPort?[] _ports = new IDatagramPort?[2];
    private readonly List<PendingRequest> _expired = [];
    private readonly Func<AddressFamily, IDatagramHandler, IDatagramPort> _open;
    private long _armedFor = long.MaxValue;
    private volatile bool _closed;

    /// <param name="open">Opens the port of an address family at first need; null for UDP sockets.</param>
    public Dispatcher(
        TimeProvider time, int maxPending, SnmpStatistics statistics, Func<AddressFamily, IDatagramHandler, IDatagramPort>? open = null)
    {
        _time = time;
        _open = open ?? ((family, handler) => new UdpPort(family, handler, statistics));
        _origin = time.GetTimestamp();
        _pending = new PendingTable(maxPending);
        Statistics = statistics;
        _timer = time.CreateTimer(_ => OnTick(), null, Timeout.InfiniteTimeSpan, Timeout.InfiniteTimeSpan);
    }

    public SnmpStatistics Statistics { get; }

    private long NowTick => _time.GetElapsedTime(_origin).Ticks / Tick.Ticks;

    /// <summary>Sends a request whose answer is an object.</summary>
    public Task<SnmpResult> SendAsync(SingleRequest request, CancellationToken cancellationToken)
    {
        SnmpOutcome refusal = cancellationToken.IsCancellationRequested ? SnmpOutcome.Cancelled : Submit(request);
        if (refusal != SnmpOutcome.Unknown)
        {
            return Task.FromResult(request.Failure(refusal));
        }

        return cancellationToken.CanBeCanceled ? WaitAsync(request, cancellationToken) : request.Completion;
    }

    /// <summary>
    /// Sends a request; it is finished later, on the thread that brings its answer or its end. An outcome other than Unknown says why
    /// it was not sent, and then it is not finished.
    /// </summary>
    public SnmpOutcome Submit(PendingRequest request)
    {
        if (_closed)
        {
            return SnmpOutcome.Closed;
        }

        if (PortFor(request.Target) is null)
        {
            return SnmpOutcome.NoSocket;
        }

        request.Attempts = 0;
        request.Trouble = SnmpOutcome.Timeout;
        request.SentTimestamp = _time.GetTimestamp();
        long dueTick = DueTick(request);
        SnmpOutcome refusal = _pending.TryAdd(request, dueTick);
        if (refusal == SnmpOutcome.TooManyPending)
        {
            Statistics.CountRefused();
        }

        if (refusal == SnmpOutcome.Unknown)
        {
            Transmit(request);
            ArmTimer(dueTick);
        }

        return refusal;
    }

    /// <summary>The caller gives up: the request ends as Cancelled, now or when whoever is at work on it is done.</summary>
    public void Cancel(PendingRequest request)
    {
        if (_pending.TryCancel(request))
        {
            request.Finish(SnmpOutcome.Cancelled);
        }
    }

    public void Dispose()
    {
        _closed = true;
        lock (_portLock)
        {
            foreach (IDatagramPort? port in _ports)
            {
                port?.Dispose();
            }
        }

        _timer.Dispose();
        foreach (PendingRequest request in _pending.Close())
        {
            request.Finish(SnmpOutcome.Closed);
        }
    }

    private async Task<SnmpResult> WaitAsync(SingleRequest request, CancellationToken cancellationToken)
    {
        using CancellationTokenRegistration registration = cancellationToken.UnsafeRegister(state => Cancel((PendingRequest)state!), request);
        return await request.Completion.ConfigureAwait(false);
    }

    /// <summary>Each attempt waits twice as long as the one before it, from its sending on.</summary>
    private long DueTick(PendingRequest request)
    {
        long wait = request.Target.Timeout.Ticks << Math.Min(request.Attempts, SnmpTarget.MaxRetries);
        return (_time.GetElapsedTime(_origin, request.SentTimestamp).Ticks / Tick.Ticks) + ((wait + Tick.Ticks - 1) / Tick.Ticks);
    }

    /// <summary>Sends a claimed request and ends the claim, once it is encoded: its answer may be there before the sending returns.</summary>
    [SkipLocalsInit] // Only what was encoded is sent: emptying the buffer each time would cost as much as filling it.
    private void Transmit(PendingRequest request)
    {
        SnmpTarget target = request.Target;
        int id = request.Id;
        int size = request.EncodedSizeBound;
        byte[]? rented = size <= StackBuffer ? null : ArrayPool<byte>.Shared.Rent(size);
        Span<byte> buffer = rented is null ? stackalloc byte[StackBuffer] : rented;
        request.Attempts++;
        ReadOnlySpan<byte> datagram = request.Encode(buffer);
        if (!_pending.Release(request))
        {
            request.Finish(GivenUp);
        }
        else
        {
            Statistics.CountSent();
            if (PortFor(target)?.TrySend(datagram, target.SocketAddress) != true)
            {
                Statistics.CountUnreachable();
                _pending.TryMark(id, target.Address, SnmpOutcome.Unreachable);
            }
        }

        if (rented is not null)
        {
            ArrayPool<byte>.Shared.Return(rented, clearArray: true);
        }
    }

    /// <summary>Why a request was given up in the midst of work on it.</summary>
    private SnmpOutcome GivenUp => _closed ? SnmpOutcome.Closed : SnmpOutcome.Cancelled;

    public bool IsBusy => _pending.Count > 1;

    public void OnDatagram(Span<byte> datagram, ReadOnlySpan<byte> sender)
    {
        if (!MessageHead.TryRead(datagram, out MessageHead head))
        {
            Statistics.CountMalformed();
            return;
        }

        switch (_pending.TryClaim(head.Id, head.Version, sender, out PendingRequest? request))
        {
            case Claim.Granted:
                Read(request!, datagram, sender);
                break;
            case Claim.Foreign:
                Statistics.CountForeign();
                break;
            case Claim.Busy:
                Statistics.CountDuplicate();
                break;
            default:
                CountUnmatched(head.Id);
                break;
        }
    }

    private void Read(PendingRequest request, Span<byte> datagram, ReadOnlySpan<byte> sender)
    {
        Verdict verdict;
        try
        {
            verdict = request.Read(datagram, new Arrival(_time.GetElapsedTime(request.SentTimestamp), Responder(request.Target, sender)));
        }
        catch
        {
            _pending.Settle(request, answered: false);
            request.Finish(SnmpOutcome.ClientFault);
            throw;
        }

        if (verdict == Verdict.Complete)
        {
            _pending.Settle(request, answered: true);
            Statistics.CountAnswered();
            request.Finish(SnmpOutcome.Answered);
            return;
        }

        bool untrusted = verdict == Verdict.Untrusted;
        request.Trouble = untrusted ? SnmpOutcome.Untrusted : SnmpOutcome.Malformed;
        if (!_pending.Release(request))
        {
            request.Finish(GivenUp);
        }

        if (untrusted)
        {
            Statistics.CountUntrusted();
        }
        else
        {
            Statistics.CountMalformed();
        }
    }

    private static IPEndPoint Responder(SnmpTarget target, ReadOnlySpan<byte> sender)
    {
        if (target.Address.SequenceEqual(sender))
        {
            return target.Endpoint;
        }

        SocketAddress address = new(target.Endpoint.AddressFamily, sender.Length);
        sender.CopyTo(address.Buffer.Span);
        return (IPEndPoint)target.Endpoint.Create(address);
    }

    /// <summary>
    /// Only a mark on the request: ICMP is easily forged and a rebooting router sends it too, so it neither ends the
    /// request nor saves the retries. If no answer comes, it says why.
    /// </summary>
    public void OnRefused(ReadOnlySpan<byte> datagram, ReadOnlySpan<byte> receiver)
    {
        if (MessageHead.TryRead(datagram, out MessageHead head) && _pending.TryMark(head.Id, receiver, SnmpOutcome.Unreachable))
        {
            Statistics.CountUnreachable();
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

    /// <summary>
    /// The timer goes off at the earliest deadline and not at every tick: almost all requests are answered long before theirs, and a timer
    /// that goes off for nothing costs more than a poll.
    /// </summary>
    private void ArmTimer(long dueTick)
    {
        if (dueTick >= Volatile.Read(ref _armedFor))
        {
            return;
        }

        lock (_timerLock)
        {
            if (dueTick < _armedFor && !_closed)
            {
                _armedFor = dueTick;
                TimeSpan wait = (dueTick * Tick) - _time.GetElapsedTime(_origin);

                // Whole milliseconds are what a timer knows: rounded up, lest it goes off before the deadline and for nothing.
                _timer.Change(TimeSpan.FromMilliseconds(Math.Max(0, (long)Math.Ceiling(wait.TotalMilliseconds))), Timeout.InfiniteTimeSpan);
            }
        }
    }

    /// <summary>One call at a time: the timer is armed again only at the end.</summary>
    private void OnTick()
    {
        _expired.Clear();
        _pending.ClaimExpired(NowTick, _expired);
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
                _pending.Settle(request, answered: false);
                request.Finish(SnmpOutcome.ClientFault);
            }
        }

        lock (_timerLock)
        {
            _armedFor = long.MaxValue;
        }

        if (_pending.NextDue() is { } next)
        {
            ArmTimer(next);
        }
    }

    private void Expire(PendingRequest request)
    {
        if (request.Attempts > request.Target.Retries || request.IsCancelled)
        {
            SnmpOutcome outcome = request.IsCancelled ? GivenUp : request.Trouble;
            _pending.Settle(request, answered: false);
            Statistics.CountTimeout();
            request.Finish(outcome);
        }
        else
        {
            request.SentTimestamp = _time.GetTimestamp();
            _pending.Rearm(request, DueTick(request));
            Statistics.CountRetry();
            Transmit(request);
        }
    }

    /// <summary>Opens the family's socket at first need. Null where this machine has none of that family.</summary>
    private IDatagramPort? PortFor(SnmpTarget target)
    {
        AddressFamily family = target.Endpoint.AddressFamily;
        ref IDatagramPort? port = ref _ports[family == AddressFamily.InterNetworkV6 ? 1 : 0];
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
                    Volatile.Write(ref port, _open(family, this));
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
