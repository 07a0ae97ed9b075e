using PoeWatch.Snmp;

namespace PoeWatch.Simulator.Agents;

/// <summary>What an agent reports instead of answering (RFC 3414 section 5 usmStats, RFC 3413 snmpUnknownContexts).</summary>
internal enum UsmReport
{
    Unknown = 0,
    UnsupportedSecLevels = 1,
    NotInTimeWindows = 2,
    UnknownUserNames = 3,
    UnknownEngineIds = 4,
    WrongDigests = 5,
    DecryptionErrors = 6,
    UnknownContexts = 7,
}

/// <summary>How often each has been reported. For one thread at a time.</summary>
internal sealed class ReportCounters
{
    private static readonly Oid s_usmStats = Oid.Parse("1.3.6.1.6.3.15.1.1");
    private static readonly Oid s_unknownContexts = Oid.Parse("1.3.6.1.6.3.12.1.5.0");

    private readonly uint[] _counts = new uint[(int)UsmReport.UnknownContexts + 1];

    public static Oid NameOf(UsmReport report) =>
        report == UsmReport.UnknownContexts ? s_unknownContexts : s_usmStats.Append((uint)report, 0);

    public SnmpValue Count(UsmReport report) => SnmpValue.Counter32(unchecked(++_counts[(int)report]));
}
