namespace PoeWatch.Snmp.Notifications;

/// <summary>Counters of one receiver since it was opened, in datagrams. Reading is safe from any thread.</summary>
public sealed class NotificationStatistics
{
    private readonly long[] _refused = new long[Enum.GetValues<NotificationRefusal>().Length];
    private long _traps;
    private long _informs;
    private long _reports;
    private long _faults;

    /// <summary>Traps that were believed.</summary>
    public long Traps => Volatile.Read(ref _traps);

    /// <summary>Informs that were believed and answered.</summary>
    public long Informs => Volatile.Read(ref _informs);

    /// <summary>Reports sent, mostly to agents that ask for our engine.</summary>
    public long Reports => Volatile.Read(ref _reports);

    /// <summary>Exceptions while handling a datagram: bugs. 0 unless there is one.</summary>
    public long Faults => Volatile.Read(ref _faults);

    /// <summary>Datagrams that were not taken, by reason.</summary>
    public long Refused(NotificationRefusal why) => Volatile.Read(ref _refused[(int)why]);

    internal void CountTaken(bool isInform)
    {
        if (isInform)
        {
            Interlocked.Increment(ref _informs);
        }
        else
        {
            Interlocked.Increment(ref _traps);
        }
    }

    internal void CountReport() => Interlocked.Increment(ref _reports);

    internal void CountFault() => Interlocked.Increment(ref _faults);

    internal void CountRefused(NotificationRefusal why) => Interlocked.Increment(ref _refused[(int)why]);
}
