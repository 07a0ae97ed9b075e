namespace PoeWatch.Snmp;

/// <summary>
/// Counters of one client since it was opened, in datagrams or requests. Reading is safe from any thread; the numbers are
/// read one by one and may be an instant apart.
/// </summary>
public sealed class SnmpStatistics
{
    private readonly long[] _reports = new long[Enum.GetValues<SnmpOutcome>().Length];
    private long _sent;
    private long _received;
    private long _answered;
    private long _retries;
    private long _timeouts;
    private long _late;
    private long _duplicate;
    private long _foreign;
    private long _malformed;
    private long _untrusted;
    private long _unreachable;
    private long _refused;
    private long _faults;

    public long Sent => Volatile.Read(ref _sent);

    public long Received => Volatile.Read(ref _received);

    /// <summary>Requests that an answer or a report completed.</summary>
    public long Answered => Volatile.Read(ref _answered);

    public long Retries => Volatile.Read(ref _retries);

    /// <summary>Requests that ended without an answer after all attempts.</summary>
    public long Timeouts => Volatile.Read(ref _timeouts);

    /// <summary>Answers to requests that had ended without one.</summary>
    public long Late => Volatile.Read(ref _late);

    /// <summary>Answers to requests that had one already.</summary>
    public long Duplicate => Volatile.Read(ref _duplicate);

    /// <summary>Datagrams that match no request, or not its sender.</summary>
    public long Foreign => Volatile.Read(ref _foreign);

    /// <summary>Datagrams that are no whole SNMP message.</summary>
    public long Malformed => Volatile.Read(ref _malformed);

    /// <summary>Answers whose digest, security level or time did not hold.</summary>
    public long Untrusted => Volatile.Read(ref _untrusted);

    /// <summary>Sendings that the network refused, at once or by ICMP.</summary>
    public long Unreachable => Volatile.Read(ref _unreachable);

    /// <summary>Requests not sent because too many were waiting.</summary>
    public long Refused => Volatile.Read(ref _refused);

    /// <summary>Exceptions while handling a datagram or a deadline: bugs of this room. 0 unless there is one.</summary>
    public long Faults => Volatile.Read(ref _faults);

    /// <summary>v3 reports by what they said, such as <see cref="SnmpOutcome.WrongDigest"/>.</summary>
    public long Reports(SnmpOutcome cause) => Volatile.Read(ref _reports[(int)cause]);

    internal void CountSent() => Interlocked.Increment(ref _sent);

    internal void CountReceived() => Interlocked.Increment(ref _received);

    internal void CountAnswered() => Interlocked.Increment(ref _answered);

    internal void CountRetry() => Interlocked.Increment(ref _retries);

    internal void CountTimeout() => Interlocked.Increment(ref _timeouts);

    internal void CountLate() => Interlocked.Increment(ref _late);

    internal void CountDuplicate() => Interlocked.Increment(ref _duplicate);

    internal void CountForeign() => Interlocked.Increment(ref _foreign);

    internal void CountMalformed() => Interlocked.Increment(ref _malformed);

    internal void CountUntrusted() => Interlocked.Increment(ref _untrusted);

    internal void CountUnreachable() => Interlocked.Increment(ref _unreachable);

    internal void CountRefused() => Interlocked.Increment(ref _refused);

    internal void CountFault() => Interlocked.Increment(ref _faults);

    internal void CountReport(SnmpOutcome cause) => Interlocked.Increment(ref _reports[(int)cause]);
}
