namespace PoeWatch.Domain.Readings.Changes;

/// <summary>
/// The fault counters of one port as RFC 3621 names them (columns 8, 11 to 14), as read. Counter32 each; null where the agent has none, so <c>default</c>
/// says nothing. Immutable.
/// </summary>
public readonly record struct PortCounts
{
    // One is kept of each port of thousands of switches: numbers side by side and one bit each for those that are there, not five nullable ones.
    private readonly uint _mpsAbsent;
    private readonly uint _invalidSignature;
    private readonly uint _powerDenied;
    private readonly uint _overload;
    private readonly uint _short;
    private readonly byte _isThere;

    public PortCounts(uint? mpsAbsent, uint? invalidSignature, uint? powerDenied, uint? overload, uint? @short)
    {
        (_mpsAbsent, _invalidSignature, _powerDenied) = (mpsAbsent ?? 0, invalidSignature ?? 0, powerDenied ?? 0);
        (_overload, _short) = (overload ?? 0, @short ?? 0);
        _isThere = (byte)(Bit(mpsAbsent, 0) | Bit(invalidSignature, 1) | Bit(powerDenied, 2) | Bit(overload, 3) | Bit(@short, 4));
    }

    public uint? MpsAbsent => Read(_mpsAbsent, 0);

    public uint? InvalidSignature => Read(_invalidSignature, 1);

    public uint? PowerDenied => Read(_powerDenied, 2);

    public uint? Overload => Read(_overload, 3);

    public uint? Short => Read(_short, 4);

    private static int Bit(uint? count, int place) => count is null ? 0 : 1 << place;

    private uint? Read(uint count, int place) => (_isThere & (1 << place)) != 0 ? count : null;
}
