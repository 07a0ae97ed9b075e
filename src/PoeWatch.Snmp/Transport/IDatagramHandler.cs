namespace PoeWatch.Snmp.Transport;

/// <summary>Takes what a port hears, on its receive thread; the spans are the thread's own and are used again.</summary>
internal interface IDatagramHandler
{
    /// <summary>True where more than one answer is waited for.</summary>
    bool IsBusy { get; }

    void OnDatagram(Span<byte> datagram, ReadOnlySpan<byte> sender);

    /// <summary>The network refused a datagram of ours.</summary>
    void OnRefused(ReadOnlySpan<byte> datagram, ReadOnlySpan<byte> receiver);
}
